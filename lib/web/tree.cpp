// SPDX-License-Identifier: BSD-3-Clause
#include "tree.hpp"

#include <boost/property_tree/json_parser.hpp>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <sstream>

#include "twintrack/core/error.hpp"

namespace twintrack::web {

namespace {

bool none(const Tree& value) { return value.empty() && value.data() == "null"; }

std::string entry_of(const std::string& list, std::size_t index) { return list + "[" + std::to_string(index) + "]"; }

bool flag(const Tree& value, const std::string& where) {
    if (value.data() == "true") return true;
    if (value.data() == "false") return false;
    throw InvalidParameter(where, "must be true or false; got " + value.data());
}

void choose(const Type& type, void* target, const Tree& value, const std::string& where) {
    for (std::size_t i = 0; i < type.choices.size(); ++i)
        if (value.data() == type.choices[i]) return type.choose(target, i);
    throw InvalidParameter(where, "there is no \"" + value.data() + "\"");
}

void set_parts(const Type& type, void* list, const Tree& value, const std::string& where) {
    type.clear(list);
    std::size_t index = 0;
    for (const auto& [key, entry] : value) assign(type.part(), type.append(list), entry, entry_of(where, ++index));
}

void set_optional_part(const Type& type, void* target, const Tree& value, const std::string& where) {
    type.clear(target);
    if (!none(value)) assign(type.part(), type.append(target), value, where);
}

void set_field(const Field& f, void* owner, const Tree& value, const std::string& where) {
    switch (f.type->kind) {
        case Kind::number:
            f.as<double>(owner) = number(value, where);
            return;
        case Kind::integer:
            f.as<int>(owner) = static_cast<int>(number(value, where));
            return;
        case Kind::flag:
            f.as<bool>(owner) = flag(value, where);
            return;
        case Kind::text:
            f.as<std::string>(owner) = value.data();
            return;
        case Kind::choice:
            return choose(*f.type, f.in(owner), value, where);
        case Kind::numbers:
            f.as<std::vector<double>>(owner) = numbers(value, where);
            return;
        case Kind::optional_number:
            f.as<std::optional<double>>(owner) = none(value) ? std::optional<double>() : number(value, where);
            return;
        case Kind::part:
            return assign(f.type->part(), f.in(owner), value, where);
        case Kind::optional_part:
            return set_optional_part(*f.type, f.in(owner), value, where);
        case Kind::parts:
            return set_parts(*f.type, f.in(owner), value, where);
    }
}

}  // namespace

Tree parsed(const std::string& json) {
    std::istringstream in(json);
    Tree tree;
    try {
        boost::property_tree::read_json(in, tree);
    } catch (const boost::property_tree::json_parser_error& e) {
        throw InvalidParameter("JSON", e.message());
    }
    return tree;
}

std::string written(const Tree& tree) {
    std::ostringstream out;
    boost::property_tree::write_json(out, tree, false);
    return out.str();
}

double number(const Tree& value, const std::string& where) {
    const std::string& text = value.data();
    char* end = nullptr;
    const double read = std::strtod(text.c_str(), &end);
    if (text.empty() || end != text.c_str() + text.size())
        throw InvalidParameter(where, "must be a number; got \"" + text + "\"");
    return read;
}

std::vector<double> numbers(const Tree& value, const std::string& where) {
    std::vector<double> list;
    for (const auto& [key, entry] : value) list.push_back(number(entry, entry_of(where, list.size() + 1)));
    return list;
}

void assign(const Description& description, void* target, const Tree& values, const std::string& path) {
    for (const auto& [name, value] : values) {
        const std::string where = dotted(path, name);
        const Field* field = description.find(name);
        if (!field) throw InvalidParameter(where, "no such field; there are: " + description.field_names());
        set_field(*field, target, value, where);
    }
}

std::string text(double value) {
    char digits[32];
    std::snprintf(digits, sizeof digits, "%.17g", value);
    return digits;
}

Tree list_of(std::span<const double> values) {
    Tree list;
    for (const double value : values) list.push_back({"", Tree(text(value))});
    return list;
}

}  // namespace twintrack::web
