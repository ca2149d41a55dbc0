// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "conversion.hpp"

/// Turns the field list of a parameter struct into a Python class: keyword-only constructor, read-only attributes,
/// `replace`, `to_dict`, `from_dict`, `fields`, repr, equality, pickling. Values go in and out as plain Python.
namespace twintrack::python {

/// What Python sees of one field.
struct FieldInfo {
    std::string name, unit, kind, meaning;
    double least, most;
    py::object choices;     ///< list of names, or None
    std::string structure;  ///< name of the struct behind "struct" and "list"
    py::object default_value;
};

template <class F, class V>
FieldInfo info(const F& f, const V& default_value) {
    FieldInfo i{f.name, f.unit, "", f.meaning, f.range.least, f.range.most, py::none(), "", to_python(default_value)};
    if constexpr (Described<V>) {
        i.kind = "struct", i.structure = py::type::of<V>().attr("__name__").template cast<std::string>();
    } else if constexpr (Named<V>) {
        i.kind = "choice";
        py::list all;
        for (const auto& entry : names(Tag<V>{})) all.append(py::str(entry.second));
        i.choices = all;
    } else if constexpr (is_vector<V>::value) {
        if constexpr (Described<typename V::value_type>) {
            i.kind = "list",
            i.structure = py::type::of<typename V::value_type>().attr("__name__").template cast<std::string>();
        } else {
            i.kind = "numbers";
        }
    } else if constexpr (std::is_same_v<V, std::optional<double>>) {
        i.kind = "optional number";
    } else if constexpr (is_optional<V>::value) {
        i.kind = "optional struct";
        i.structure = py::type::of<typename V::value_type>().attr("__name__").template cast<std::string>();
    } else {
        i.kind = std::is_same_v<V, bool>     ? "flag"
                 : std::is_same_v<V, int>    ? "integer"
                 : std::is_same_v<V, double> ? "number"
                                             : "text";
    }
    return i;
}

/// `object.replace({"motor.resistance": 2.0, "tracks[1].noise": 0.001})`: a changed copy, by dotted path.
py::dict replaced(py::dict whole, const py::dict& changes);

template <Described S>
std::string docstring(const char* summary) {
    std::string text = std::string(summary) + "\n\nFields (keyword arguments and attributes):\n";
    for_each_field<S>([&](const auto& f) {
        text += "    " + std::string(f.name) + (*f.unit ? " [" + std::string(f.unit) + "]" : "") + ": " + f.meaning;
        if (std::isfinite(f.range.least) || std::isfinite(f.range.most)) text += "; " + describe(f.range, "");
        text += "\n";
    });
    return text;
}

template <Described S>
py::class_<S> bind_struct(py::module_& m, const char* name, const char* summary) {
    static const std::string doc = docstring<S>(summary);
    py::class_<S> c(m, name, doc.c_str());
    c.def(py::init([](const py::kwargs& values) { return checked<S>(values); }));
    for_each_field<S>([&](const auto& f) {
        using V = std::remove_cvref_t<decltype(std::declval<S&>().*(f.member))>;
        const auto member = f.member;
        if constexpr (Named<V>) {
            c.def_property_readonly(
                f.name, [member](const S& s) { return std::string(name_of(s.*member)); }, f.meaning);
        } else {
            c.def_property_readonly(
                f.name, [member](const S& s) -> V { return s.*member; }, f.meaning);
        }
    });
    c.def(
        "to_dict", [](const S& s) { return to_dict(s); }, "Nested plain values, by field name.");
    c.def_static(
        "from_dict", [](const py::dict& d) { return checked<S>(d); }, py::arg("values"),
        "The inverse of `to_dict`; fields left out keep their default.");
    c.def(
        "replace",
        [](const S& s, const py::dict& changes, const py::kwargs& more) {
            return checked<S>(replaced(replaced(to_dict(s), changes), more));
        },
        py::arg("changes") = py::dict(),
        "A changed copy. Keys are field names or dotted paths such as \"motor.resistance\" or \"tracks[1].noise\".");
    c.def_static(
        "fields",
        [] {
            std::vector<FieldInfo> all;
            const S defaults{};
            for_each_field<S>([&](const auto& f) { all.push_back(info(f, defaults.*(f.member))); });
            return all;
        },
        "Name, unit, kind, range, default and meaning of every field.");
    const std::string text_name = name;
    c.def("__repr__", [text_name](const S& s) {
        std::string text = text_name + "(";
        bool first = true;
        for (const auto& [key, value] : to_dict(s)) {
            text += (first ? "" : ", ") + py::str(key).template cast<std::string>() + "=" +
                    py::repr(value).template cast<std::string>();
            first = false;
        }
        return text + ")";
    });
    c.def("__eq__",
          [](const S& a, py::handle b) { return py::isinstance<S>(b) && to_dict(a).equal(to_dict(b.cast<S>())); });
    c.def("__hash__", [](const S& s) { return py::hash(py::repr(to_dict(s))); });
    c.def(py::pickle([](const S& s) { return to_dict(s); }, [](const py::dict& d) { return checked<S>(d); }));
    c.def("__copy__", [](const S& s) { return s; });
    c.def("__deepcopy__", [](const S& s, const py::dict&) { return s; });
    return c;
}

void bind_core(py::module_& m);
void bind_plant(py::module_& m);
void bind_engine(py::module_& m);
void bind_sensing(py::module_& m);
void bind_wiring(py::module_& m);
void bind_control(py::module_& m);
void bind_monitor(py::module_& m);
void bind_fault(py::module_& m);
void bind_bench(py::module_& m);
void bind_learn(py::module_& m);
void bind_study(py::module_& m);
void bind_lanes(py::module_& m);
void bind_rules(py::module_& m);

}  // namespace twintrack::python
