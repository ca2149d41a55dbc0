// SPDX-License-Identifier: BSD-3-Clause
// Described structs to plain Python values and back.
#include <charconv>
#include <cmath>

#include "described.hpp"
#include "given.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::python {

void refuse(const std::string& where, const std::string& expected, py::handle got) {
    std::string shown = std::string("a value of type ") + Py_TYPE(got.ptr())->tp_name;
    try {
        shown = py::repr(got).cast<std::string>();
    } catch (const std::exception&) {  // a text with half of a surrogate pair, say
        PyErr_Clear();
    }
    throw InvalidParameter(where, "expected " + expected + ", got " + shortened(shown, 100));
}

namespace {

bool flag(py::handle value, const std::string& where) {
    if (!py::isinstance<py::bool_>(value)) refuse(where, "True or False", value);
    return value.cast<bool>();
}

/// Calls `take(entry, its place)` for each entry of a list.
template <class Take>
void for_each_entry(py::handle value, const std::string& where, Take&& take) {
    constexpr std::size_t most = 100'000;
    if (!py::isinstance<py::sequence>(value) && !py::isinstance<py::array>(value)) refuse(where, "a list", value);
    if (const std::size_t count = py::len_hint(value); count > most)
        throw InvalidParameter(where,
                               "has " + std::to_string(count) + " entries; allowed: at most " + std::to_string(most));
    int i = 1;
    for (const py::handle entry : value) take(entry, where + "[" + std::to_string(i++) + "]");
}

}  // namespace

double number(py::handle value, const std::string& where) {
    if (py::isinstance<py::bool_>(value) ||
        !(PyFloat_Check(value.ptr()) || PyIndex_Check(value.ptr()) || PyNumber_Check(value.ptr())))
        refuse(where, "a number", value);
    const double x = PyFloat_AsDouble(value.ptr());
    if (PyErr_Occurred()) {  // an array of many, an integer of 400 digits
        PyErr_Clear();
        refuse(where, "a number", value);
    }
    return x;
}

int integer(py::handle value, const std::string& where) {
    const double x = number(value, where);
    if (x != std::floor(x) || std::fabs(x) > 2147483647.0) refuse(where, "a whole number", value);
    return static_cast<int>(x);
}

std::string text(py::handle value, const std::string& where) {
    if (!py::isinstance<py::str>(value)) refuse(where, "text", value);
    Py_ssize_t size = 0;
    const char* bytes = PyUnicode_AsUTF8AndSize(value.ptr(), &size);
    if (!bytes) {
        PyErr_Clear();
        refuse(where, "text that UTF-8 can hold", value);
    }
    return {bytes, static_cast<std::size_t>(size)};
}

std::vector<double> numbers(py::handle value, const std::string& where) {
    std::vector<double> list;
    for_each_entry(value, where,
                   [&](py::handle entry, const std::string& place) { list.push_back(number(entry, place)); });
    return list;
}

namespace {

/// Sets a part that has its defaults.
void set_part(const Description& description, void* target, py::handle value, const std::string& where) {
    if (const void* given = bound(description).unwrap(value)) return description.assign(target, given);
    if (!py::isinstance<py::dict>(value)) refuse(where, "a parameter object or a dict", value);
    assign(description, target, py::reinterpret_borrow<py::dict>(value), where);
}

void set_whole_part(const Description& description, void* target, py::handle value, const std::string& where) {
    const OwnedValue defaults(description);
    description.assign(target, defaults.get());
    set_part(description, target, value, where);
}

void set_parts(const Type& type, void* list, py::handle value, const std::string& where) {
    type.clear(list);
    for_each_entry(value, where, [&](py::handle entry, const std::string& place) {
        set_part(type.part(), type.append(list), entry, place);
    });
}

void set_optional_part(const Type& type, void* target, py::handle value, const std::string& where) {
    type.clear(target);
    if (!value.is_none()) set_part(type.part(), type.append(target), value, where);
}

void set_field(const Field& f, void* owner, py::handle value, const std::string& where) {
    switch (f.type->kind) {
        case Kind::number:
            f.as<double>(owner) = number(value, where);
            return;
        case Kind::integer:
            f.as<int>(owner) = integer(value, where);
            return;
        case Kind::flag:
            f.as<bool>(owner) = flag(value, where);
            return;
        case Kind::text:
            f.as<std::string>(owner) = text(value, where);
            return;
        case Kind::choice:
            f.type->choose(f.in(owner), index_of_choice(value, f.type->choices, where));
            return;
        case Kind::numbers:
            f.as<std::vector<double>>(owner) = numbers(value, where);
            return;
        case Kind::optional_number: {
            auto& target = f.as<std::optional<double>>(owner);
            target = value.is_none() ? std::optional<double>() : number(value, where);
            return;
        }
        case Kind::part:
            set_whole_part(f.type->part(), f.in(owner), value, where);
            return;
        case Kind::optional_part:
            set_optional_part(*f.type, f.in(owner), value, where);
            return;
        case Kind::parts:
            set_parts(*f.type, f.in(owner), value, where);
            return;
    }
}

/// The field of one step of a dotted path, and the entry it counts to: "tracks[2]" → (tracks, 2); 0 without brackets.
std::pair<const Field*, std::size_t> step_of(const Description& d, const std::string& step, const std::string& path) {
    const auto bracket = step.find('[');
    std::size_t entry = 0;
    if (bracket != std::string::npos) {
        const char *first = step.data() + bracket + 1, *last = step.data() + step.size() - 1;
        const auto read = std::from_chars(first, last, entry);
        if (first > last || *last != ']' || read.ec != std::errc{} || read.ptr != last || entry == 0)
            throw InvalidParameter(path, "an entry of a list is written name[1], name[2], …");
    }
    const Field* field = d.find(step.substr(0, bracket));
    if (!field) throw InvalidParameter(path, "no such field");
    return {field, entry};
}

/// The part that a step of a path leads into.
void* part_in(const Field& f, void* owner, std::size_t entry, const std::string& path) {
    const Type& type = *f.type;
    if (entry > 0) {
        if (type.kind != Kind::parts || entry > type.count(f.in(owner))) throw InvalidParameter(path, "no such entry");
        return const_cast<void*>(type.entry(f.in(owner), entry - 1));
    }
    if (type.kind == Kind::part) return f.in(owner);
    if (type.kind == Kind::optional_part && type.count(f.in(owner)))
        return const_cast<void*>(type.entry(f.in(owner), 0));
    throw InvalidParameter(path, "\"" + std::string(f.name) + "\" has no fields of its own");
}

void set_number_of(std::vector<double>& list, std::size_t entry, py::handle value, const std::string& path) {
    if (entry > list.size()) throw InvalidParameter(path, "no such entry");
    list[entry - 1] = number(value, path);
}

void set_at(const Description& d, void* owner, const std::string& path, std::size_t from, py::handle value) {
    const auto dot = path.find('.', from);
    const bool last = dot == std::string::npos;
    const auto [field, entry] = step_of(d, path.substr(from, last ? dot : dot - from), path);
    if (last && entry == 0) return set_field(*field, owner, value, path);
    if (last && field->type->kind == Kind::numbers)
        return set_number_of(field->as<std::vector<double>>(owner), entry, value, path);
    void* inner = part_in(*field, owner, entry, path);
    if (last) return set_whole_part(field->type->part(), inner, value, path);
    set_at(field->type->part(), inner, path, dot + 1, value);
}

py::list list_of_parts(const Type& type, const void* list, ShowPart show) {
    py::list found;
    for (std::size_t i = 0; i < type.count(list); ++i) found.append(show(type.part(), type.entry(list, i)));
    return found;
}

}  // namespace

py::object value_of(const Field& f, const void* owner, ShowPart show) {
    const Type& type = *f.type;
    switch (type.kind) {
        case Kind::number:
            return py::float_(f.as<double>(owner));
        case Kind::integer:
            return py::int_(f.as<int>(owner));
        case Kind::flag:
            return py::bool_(f.as<bool>(owner));
        case Kind::text:
            return py::str(f.as<std::string>(owner));
        case Kind::choice:
            return py::str(type.chosen(f.in(owner)));
        case Kind::numbers:
            return py::cast(f.as<std::vector<double>>(owner));
        case Kind::optional_number:
            return py::cast(f.as<std::optional<double>>(owner));
        case Kind::part:
            return show(type.part(), f.in(owner));
        case Kind::optional_part:
            return type.count(f.in(owner)) ? show(type.part(), type.entry(f.in(owner), 0)) : py::none();
        case Kind::parts:
            return list_of_parts(type, f.in(owner), show);
    }
    return py::none();
}

py::dict to_dict(const Description& description, const void* value) {
    py::dict d;
    for (const Field& f : description.fields)
        d[f.name] =
            value_of(f, value, [](const Description& part, const void* v) -> py::object { return to_dict(part, v); });
    return d;
}

std::size_t index_of_choice(py::handle name, const std::vector<const char*>& choices, const std::string& where) {
    std::string known;
    const std::string wanted = py::isinstance<py::str>(name) ? text(name, where) : std::string();
    for (std::size_t i = 0; i < choices.size(); ++i) {
        if (py::isinstance<py::str>(name) && wanted == choices[i]) return i;
        known += (known.empty() ? "" : ", ") + std::string(choices[i]);
    }
    refuse(where, "one of " + known, name);
}

void assign(const Description& description, void* target, const py::dict& values, const std::string& path) {
    for (const auto& [key, value] : values) {
        const auto name = py::str(key).cast<std::string>();
        const std::string where = dotted(path, name);
        const Field* field = description.find(name);
        if (!field) throw InvalidParameter(where, "no such field; there are: " + description.field_names());
        set_field(*field, target, value, where);
    }
}

void change(const Description& description, void* target, const py::dict& changes) {
    for (const auto& [key, value] : changes) set_at(description, target, py::str(key).cast<std::string>(), 0, value);
}

}  // namespace twintrack::python
