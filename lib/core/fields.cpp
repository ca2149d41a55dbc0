// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/fields.hpp"

#include <cmath>
#include <cstring>
#include <sstream>

#include "twintrack/core/error.hpp"
#include "twintrack/core/text.hpp"

namespace twintrack {

namespace {

std::string text(double value) {
    std::ostringstream out;
    out.precision(10);
    out << value;
    return out.str();
}

std::string with_unit(const std::string& number, const std::string& unit) {
    return unit.empty() ? number : number + " " + unit;
}

std::string entry_of(const std::string& list, std::size_t index) {
    return list + "[" + std::to_string(index + 1) + "]";
}

/// `path` of the owner: a number's own is put together only for the complaint, since most are well.
void check_number(const Field& f, double value, const std::string& path) {
    if (!holds(f.range, value)) require(value, f.range, dotted(path, f.name), f.unit, f.meaning);
}

void check_numbers(const Field& f, const std::vector<double>& values, const std::string& path) {
    for (std::size_t i = 0; i < values.size(); ++i)
        if (!holds(f.range, values[i]))
            require(values[i], f.range, entry_of(dotted(path, f.name), i), f.unit, f.meaning);
}

void check_parts(const Field& f, const void* list, const std::string& path) {
    const std::size_t count = f.type->count(list);
    const bool optional = f.type->kind == Kind::optional_part;
    const std::string where = dotted(path, f.name);
    if (!optional) require(static_cast<double>(count), f.range, where, "entries", f.meaning);
    for (std::size_t i = 0; i < count; ++i)
        validate(f.type->part(), f.type->entry(list, i), optional ? where : entry_of(where, i));
}

void check_field(const Field& f, const void* owner, const std::string& path) {
    switch (f.type->kind) {
        case Kind::number:
            return check_number(f, f.as<double>(owner), path);
        case Kind::integer:
            return check_number(f, f.as<int>(owner), path);
        case Kind::numbers:
            return check_numbers(f, f.as<std::vector<double>>(owner), path);
        case Kind::optional_number:
            if (const auto& value = f.as<std::optional<double>>(owner)) check_number(f, *value, path);
            return;
        case Kind::part:
            return validate(f.type->part(), f.in(owner), dotted(path, f.name));
        case Kind::optional_part:
        case Kind::parts:
            return check_parts(f, f.in(owner), path);
        case Kind::text:
            return require_text(f.as<std::string>(owner), dotted(path, f.name), f.meaning);
        case Kind::flag:
        case Kind::choice:
            return;
    }
}

bool equal_parts(const Type& type, const void* a, const void* b) {
    const std::size_t count = type.count(a);
    if (count != type.count(b)) return false;
    for (std::size_t i = 0; i < count; ++i)
        if (!equal(type.part(), type.entry(a, i), type.entry(b, i))) return false;
    return true;
}

template <class V>
bool same(const Field& f, const void* a, const void* b) {
    return f.as<V>(a) == f.as<V>(b);
}

bool equal_fields(const Field& f, const void* a, const void* b) {
    switch (f.type->kind) {
        case Kind::number:
            return same<double>(f, a, b);
        case Kind::integer:
            return same<int>(f, a, b);
        case Kind::flag:
            return same<bool>(f, a, b);
        case Kind::text:
            return same<std::string>(f, a, b);
        case Kind::choice:
            return std::strcmp(f.type->chosen(f.in(a)), f.type->chosen(f.in(b))) == 0;
        case Kind::numbers:
            return same<std::vector<double>>(f, a, b);
        case Kind::optional_number:
            return same<std::optional<double>>(f, a, b);
        case Kind::part:
            return equal(f.type->part(), f.in(a), f.in(b));
        case Kind::optional_part:
        case Kind::parts:
            return equal_parts(*f.type, f.in(a), f.in(b));
    }
    return false;
}

}  // namespace

std::string describe(const Range& range, const std::string& unit) {
    const bool below = std::isfinite(range.least);
    const bool above = std::isfinite(range.most);
    if (below && above) return with_unit(text(range.least) + " to " + text(range.most), unit);
    if (below) return "at least " + with_unit(text(range.least), unit);
    if (above) return "at most " + with_unit(text(range.most), unit);
    return "any finite number";
}

void require(double value, const Range& range, const std::string& where, const char* unit, const char* meaning) {
    if (holds(range, value)) return;
    throw InvalidParameter(
        where, std::string(meaning) + " is " + with_unit(text(value), unit) + "; allowed: " + describe(range, unit));
}

void require_text(const std::string& value, const std::string& where, const std::string& meaning) {
    constexpr std::size_t most = 1000;
    if (value.size() > most)
        throw InvalidParameter(where, meaning + " has " + std::to_string(value.size()) + " bytes; allowed: at most " +
                                          std::to_string(most));
    for (const char c : value)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
            throw InvalidParameter(where, meaning + " holds the control character " +
                                              std::to_string(static_cast<int>(c)) +
                                              "; allowed: printable text in one line");
}

std::string dotted(const std::string& path, const std::string& name) { return path.empty() ? name : path + "." + name; }

void validate(const Description& description, const void* value, const std::string& path) {
    for (const Field& f : description.fields) check_field(f, value, path);
    if (description.check) description.check(value, path);
}

bool equal(const Description& description, const void* a, const void* b) {
    for (const Field& f : description.fields)
        if (!equal_fields(f, a, b)) return false;
    return true;
}

const Field* Description::find(const std::string& name) const noexcept {
    for (const Field& f : fields)
        if (name == f.name) return &f;
    return nullptr;
}

std::string Description::field_names() const {
    std::string known;
    for (const Field& f : fields) known += (known.empty() ? "" : ", ") + std::string(f.name);
    return known;
}

}  // namespace twintrack
