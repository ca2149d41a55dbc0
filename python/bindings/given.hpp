// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"

namespace twintrack::python {

/// Throws InvalidParameter: what was expected there, and what was given, cut to a readable length.
[[noreturn]] void refuse(const std::string& where, const std::string& expected, py::handle got);

/// An argument that any Python value is taken for; its type is checked when it is asked for. pybind11's own refusal
/// repeats every argument of the call, which of a bench is pages long.
template <class T>
struct Given {
    py::handle value;

    [[nodiscard]] T get(const std::string& where, const std::string& expected) const {
        py::detail::make_caster<T> caster;
        try {
            if (caster.load(value, true)) return py::detail::cast_op<T>(caster);
        } catch (const py::reference_cast_error&) {  // None where an object is needed
        }
        refuse(where, expected, value);
    }
};

}  // namespace twintrack::python

namespace pybind11::detail {

/// In signatures, and so in the type stub, it is a T.
template <class T>
struct type_caster<twintrack::python::Given<T>> {
    static constexpr auto name = make_caster<T>::name;
    twintrack::python::Given<T> held;

    bool load(handle source, bool) {
        held.value = source;
        return true;
    }
    template <class U>
    using cast_op_type = twintrack::python::Given<T>;
    operator twintrack::python::Given<T>() const { return held; }
};

}  // namespace pybind11::detail
