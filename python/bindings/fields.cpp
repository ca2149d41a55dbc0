// SPDX-License-Identifier: BSD-3-Clause
#include "fields.hpp"

#include <cmath>
#include <deque>
#include <map>

#include "described.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::python {

namespace {

/// By description; filled while the module is made, under the interpreter lock.
std::map<const Description*, BoundStruct>& bound_structs() {
    static std::map<const Description*, BoundStruct> all;
    return all;
}

OwnedValue checked(const Description& d, const py::dict& values) {
    OwnedValue made(d);
    assign(d, made.get(), values, {});
    validate(d, made.get(), {});
    return made;
}

py::object object_of(const BoundStruct& b, const py::dict& values) {
    return b.wrap(checked(*b.description, values).get());
}

const void* inside(const BoundStruct& b, py::handle self) {
    if (const void* value = b.unwrap(self)) return value;
    throw py::type_error(std::string("expected ") + b.name);
}

py::object wrapped(const Description& d, const void* value) { return bound(d).wrap(value); }

std::vector<FieldInfo> infos(const Description& d) {
    const OwnedValue defaults(d);
    std::vector<FieldInfo> all;
    for (const Field& f : d.fields)
        all.push_back({&f, value_of(f, defaults.get(), [](const Description& part, const void* v) -> py::object {
                           return to_dict(part, v);
                       })});
    return all;
}

std::string text_of(const BoundStruct& b, const void* value) {
    std::string text = std::string(b.name) + "(";
    bool first = true;
    for (const auto& [key, entry] : to_dict(*b.description, value)) {
        text += (first ? "" : ", ") + py::str(key).cast<std::string>() + "=" + py::repr(entry).cast<std::string>();
        first = false;
    }
    return text + ")";
}

/// An attribute of a class, as the getter below is given it.
struct Attribute {
    const BoundStruct* owner;
    const Field* field;
};

PyObject* get_attribute(PyObject* self, void* closure) {
    const auto& [owner, field] = *static_cast<const Attribute*>(closure);
    try {
        return value_of(*field, inside(*owner, self), wrapped).release().ptr();
    } catch (py::error_already_set& e) {
        e.restore();
    } catch (const std::exception& e) {
        PyErr_SetString(PyExc_TypeError, e.what());
    }
    return nullptr;
}

/// Read-only attributes as the interpreter's own descriptors: a pybind11 property for each would double the time that
/// importing the package takes.
void bind_attributes(py::handle cls, const BoundStruct& b) {
    static std::deque<Attribute> attributes;
    static std::deque<PyGetSetDef> definitions;
    for (const Field& f : b.description->fields) {
        attributes.push_back({&b, &f});
        definitions.push_back({f.name, get_attribute, nullptr, f.meaning, &attributes.back()});
        PyObject* made = PyDescr_NewGetSet(reinterpret_cast<PyTypeObject*>(cls.ptr()), &definitions.back());
        py::setattr(cls, f.name, py::reinterpret_steal<py::object>(made));
    }
}

template <class Function, class... Extra>
void bind_method(py::object cls, const char* name, Function&& function, const Extra&... extra) {
    py::detail::add_class_method(
        cls, name, py::cpp_function(std::forward<Function>(function), py::name(name), py::is_method(cls), extra...));
}

template <class Function, class... Extra>
void bind_static(py::object cls, const char* name, Function&& function, const Extra&... extra) {
    const py::cpp_function made(std::forward<Function>(function), py::name(name), py::scope(cls), extra...);
    cls.attr(name) = py::staticmethod(made);
}

void bind_making(py::object cls, const BoundStruct& b) {
    const auto construct = [&b](py::detail::value_and_holder& target, const py::dict& values) {
        target.value_ptr() = checked(*b.description, values).release();
    };
    bind_method(
        cls, "__init__",
        [construct](py::detail::value_and_holder& target, const py::kwargs& values) { construct(target, values); },
        py::detail::is_new_style_constructor());
    bind_method(cls, "__setstate__", construct, py::detail::is_new_style_constructor());
    bind_method(cls, "__getstate__", [&b](py::handle self) { return to_dict(*b.description, inside(b, self)); });
    bind_static(
        cls, "from_dict", [&b](const py::dict& values) { return object_of(b, values); }, py::arg("values"),
        "The inverse of `to_dict`; fields left out keep their default.");
    bind_method(
        cls, "replace",
        [&b](py::handle self, const py::dict& changes, const py::kwargs& more) {
            OwnedValue copy(*b.description);
            b.description->assign(copy.get(), inside(b, self));
            for (const py::dict& some : {changes, py::dict(more)}) change(*b.description, copy.get(), some);
            validate(*b.description, copy.get(), {});
            return b.wrap(copy.get());
        },
        py::arg("changes") = py::dict(),
        "A changed copy. Keys are field names or dotted paths such as \"motor.resistance\" or \"tracks[1].noise\".");
}

void bind_looks(py::object cls, const BoundStruct& b) {
    bind_method(
        cls, "to_dict", [&b](py::handle self) { return to_dict(*b.description, inside(b, self)); },
        "Nested plain values, by field name.");
    bind_static(
        cls, "fields", [&b] { return infos(*b.description); },
        "Name, unit, kind, range, default and meaning of every field.");
    bind_method(cls, "__repr__", [&b](py::handle self) { return text_of(b, inside(b, self)); });
    bind_method(cls, "__eq__", [&b](py::handle self, py::handle other) {
        const void* value = b.unwrap(other);
        return value && equal(*b.description, inside(b, self), value);
    });
    bind_method(cls, "__hash__",
                [&b](py::handle self) { return py::hash(py::repr(to_dict(*b.description, inside(b, self)))); });
    bind_method(cls, "__copy__", [&b](py::handle self) { return b.wrap(inside(b, self)); });
    bind_method(cls, "__deepcopy__", [&b](py::handle self, const py::dict&) { return b.wrap(inside(b, self)); });
}

}  // namespace

const BoundStruct& bound(const Description& description) { return bound_structs().at(&description); }

const char* FieldInfo::kind() const noexcept {
    switch (field->type->kind) {
        case Kind::number:
            return "number";
        case Kind::integer:
            return "integer";
        case Kind::flag:
            return "flag";
        case Kind::text:
            return "text";
        case Kind::choice:
            return "choice";
        case Kind::numbers:
            return "numbers";
        case Kind::optional_number:
            return "optional number";
        case Kind::part:
            return "struct";
        case Kind::optional_part:
            return "optional struct";
        case Kind::parts:
            return "list";
    }
    return "";
}

py::object FieldInfo::choices() const {
    if (field->type->kind != Kind::choice) return py::none();
    return py::cast(field->type->choices);
}

std::string FieldInfo::structure() const { return field->type->part ? bound(field->type->part()).name : ""; }

std::string docstring(const Description& description, const char* summary) {
    std::string text = std::string(summary) + "\n\nFields (keyword arguments and attributes):\n";
    for (const Field& f : description.fields) {
        text += "    " + std::string(f.name) + (*f.unit ? " [" + std::string(f.unit) + "]" : "") + ": " + f.meaning;
        if (std::isfinite(f.range.least) || std::isfinite(f.range.most)) text += "; " + describe(f.range, "");
        text += "\n";
    }
    return text;
}

void bind_fields(py::object cls, const BoundStruct& given) {
    const BoundStruct& b = bound_structs().insert_or_assign(given.description, given).first->second;
    bind_attributes(cls, b);
    bind_making(cls, b);
    bind_looks(cls, b);
}

}  // namespace twintrack::python
