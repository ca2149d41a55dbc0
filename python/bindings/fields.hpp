// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <string>
#include <vector>

#include "twintrack/core/fields.hpp"

/// Turns the field list of a parameter struct into a Python class: keyword-only constructor, read-only attributes,
/// `replace`, `to_dict`, `from_dict`, `fields`, repr, equality, pickling. Values go in and out as plain Python. All of
/// it works on descriptions and is compiled once; a struct adds its name and how pybind11 wraps it.
namespace twintrack::python {

namespace py = pybind11;

/// A described struct that Python knows.
struct BoundStruct {
    const Description* description;
    const char* name;
    py::object (*wrap)(const void* value);       ///< a Python object with a copy
    const void* (*unwrap)(py::handle) noexcept;  ///< the value inside, null unless it is of this class
};

/// What Python sees of one field.
struct FieldInfo {
    const Field* field;
    py::object default_value;
    [[nodiscard]] const char* kind() const noexcept;
    [[nodiscard]] py::object choices() const;     ///< list of names, or None
    [[nodiscard]] std::string structure() const;  ///< name of the struct behind "struct" and "list"
};

/// Nested plain values, by field name.
[[nodiscard]] py::dict to_dict(const Description& description, const void* value);

/// A Python value as a number, a whole number, a text, a list of numbers; InvalidParameter, naming `where`, for
/// anything else.
[[nodiscard]] double number(py::handle value, const std::string& where);
[[nodiscard]] int integer(py::handle value, const std::string& where);
[[nodiscard]] std::string text(py::handle value, const std::string& where);
[[nodiscard]] std::vector<double> numbers(py::handle value, const std::string& where);

/// A number for an entry `name`d in `choices`; InvalidParameter, with those there are, for anything else.
[[nodiscard]] std::size_t index_of_choice(py::handle name, const std::vector<const char*>& choices,
                                          const std::string& where);

/// The enumerator of that name.
template <Named E>
[[nodiscard]] E enumerator(py::handle name, const std::string& where) {
    std::vector<const char*> choices;
    for (const auto& entry : names(Tag<E>{})) choices.push_back(entry.second);
    return names(Tag<E>{})[index_of_choice(name, choices, where)].first;
}

/// Sets the named fields of `target`; unknown names are refused with the list of those there are.
void assign(const Description& description, void* target, const py::dict& values, const std::string& path);

/// As `object.replace({"motor.resistance": 2.0, "tracks[1].noise": 0.001})`: sets what stands at those dotted paths.
void change(const Description& description, void* target, const py::dict& changes);

[[nodiscard]] std::string docstring(const Description& description, const char* summary);

/// Gives `cls` all that follows from the fields. Both live as long as the module.
void bind_fields(py::object cls, const BoundStruct& bound);

template <Described S>
py::class_<S> bind_struct(py::module_& m, const char* name, const char* summary) {
    const Description& description_of_s = description(Tag<S>{});
    py::class_<S> c(m, name, docstring(description_of_s, summary).c_str());
    bind_fields(c, {&description_of_s, name, [](const void* v) { return py::cast(*static_cast<const S*>(v)); },
                    [](py::handle h) noexcept -> const void* {
                        py::detail::make_caster<S> caster;
                        return caster.load(h, false) ? static_cast<S*>(caster) : nullptr;
                    }});
    return c;
}

void bind_analysis(py::module_& m);
void bind_core(py::module_& m);
void bind_plant(py::module_& m);
void bind_engine(py::module_& m);
void bind_sensing(py::module_& m);
void bind_wiring(py::module_& m);
void bind_control(py::module_& m);
void bind_learned_range(py::module_& m);
void bind_signals(py::module_& m);
void bind_monitor(py::module_& m);
void bind_fault_memory(py::module_& m);
void bind_fault(py::module_& m);
void bind_bench(py::module_& m);
void bind_snapshot(py::module_& m);
void bind_session(py::module_& m);
void bind_external(py::module_& m);
void bind_made_units(py::module_& m);
void bind_learn(py::module_& m);
void bind_learn_disturbance(py::module_& m);
void bind_study(py::module_& m);
void bind_idle_report(py::module_& m);
void bind_lanes(py::module_& m);
void bind_rules(py::module_& m);
void bind_formula(py::module_& m);

}  // namespace twintrack::python
