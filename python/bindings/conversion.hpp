// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <string>

#include "twintrack/core/fields.hpp"

/// Parameter structs to plain Python values and back, driven by their field lists.
namespace twintrack::python {

namespace py = pybind11;

template <class V>
py::object to_python(const V& value);

template <Described S>
py::dict to_dict(const S& value) {
    py::dict d;
    for_each_field<S>([&](const auto& f) { d[f.name] = to_python(value.*(f.member)); });
    return d;
}

template <class V>
py::object to_python(const V& value) {
    if constexpr (Described<V>) {
        return to_dict(value);
    } else if constexpr (Named<V>) {
        return py::str(name_of(value));
    } else if constexpr (is_vector<V>::value) {
        py::list list;
        for (const auto& entry : value) list.append(to_python(entry));
        return list;
    } else if constexpr (is_optional<V>::value) {
        return value ? to_python(*value) : py::object(py::none());
    } else {
        return py::cast(value);
    }
}

[[noreturn]] inline void refuse(const std::string& where, const std::string& expected, py::handle got) {
    throw InvalidParameter(where, "expected " + expected + ", got " + py::repr(got).cast<std::string>());
}

inline double number(py::handle value, const std::string& where) {
    if (py::isinstance<py::bool_>(value) ||
        !(PyFloat_Check(value.ptr()) || PyIndex_Check(value.ptr()) || PyNumber_Check(value.ptr())))
        refuse(where, "a number", value);
    return py::float_(py::reinterpret_borrow<py::object>(value));
}

template <Described S>
S struct_from(py::handle value, const std::string& where);

template <Named E>
E enumerator(py::handle value, const std::string& where) {
    std::string known;
    for (const auto& [v, name] : names(Tag<E>{})) {
        if (py::isinstance<py::str>(value) && value.cast<std::string>() == name) return v;
        known += (known.empty() ? "" : ", ") + std::string(name);
    }
    refuse(where, "one of " + known, value);
}

template <class V>
V from_python(py::handle value, const std::string& where) {
    if constexpr (Described<V>) {
        return struct_from<V>(value, where);
    } else if constexpr (Named<V>) {
        return enumerator<V>(value, where);
    } else if constexpr (is_vector<V>::value) {
        if (!py::isinstance<py::sequence>(value) && !py::isinstance<py::array>(value)) refuse(where, "a list", value);
        V list;
        int i = 1;
        for (py::handle entry : value)
            list.push_back(from_python<typename V::value_type>(entry, where + "[" + std::to_string(i++) + "]"));
        return list;
    } else if constexpr (is_optional<V>::value) {
        return value.is_none() ? V{} : V{from_python<typename V::value_type>(value, where)};
    } else if constexpr (std::is_same_v<V, bool>) {
        if (!py::isinstance<py::bool_>(value)) refuse(where, "True or False", value);
        return value.cast<bool>();
    } else if constexpr (std::is_same_v<V, int>) {
        const double x = number(value, where);
        if (x != std::floor(x) || std::fabs(x) > 2147483647.0) refuse(where, "a whole number", value);
        return static_cast<int>(x);
    } else if constexpr (std::is_same_v<V, double>) {
        return number(value, where);
    } else {
        if (!py::isinstance<py::str>(value)) refuse(where, "text", value);
        return value.cast<V>();
    }
}

template <Described S>
std::string known_fields() {
    std::string known;
    for_each_field<S>([&](const auto& f) { known += (known.empty() ? "" : ", ") + std::string(f.name); });
    return known;
}

/// Sets the named fields of `target`; unknown names are refused with the list of those there are.
template <Described S>
void assign(S& target, const py::dict& values, const std::string& path) {
    for (const auto& [key, value] : values) {
        const auto name = py::str(key).cast<std::string>();
        bool found = false;
        for_each_field<S>([&](const auto& f) {
            if (found || name != f.name) return;
            found = true;
            target.*(f.member) =
                from_python<std::remove_reference_t<decltype(target.*(f.member))>>(value, detail::join(path, name));
        });
        if (!found) throw InvalidParameter(detail::join(path, name), "no such field; there are: " + known_fields<S>());
    }
}

template <Described S>
S struct_from(py::handle value, const std::string& where) {
    if (py::isinstance<S>(value)) return value.cast<S>();
    if (!py::isinstance<py::dict>(value)) refuse(where, "a parameter object or a dict", value);
    S target;
    assign(target, py::reinterpret_borrow<py::dict>(value), where);
    return target;
}

template <Described S>
S checked(const py::dict& values) {
    S target;
    assign(target, values, {});
    validate(target);
    return target;
}

}  // namespace twintrack::python
