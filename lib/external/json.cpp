// SPDX-License-Identifier: BSD-3-Clause
#include "json.hpp"

#include <boost/property_tree/json_parser.hpp>
#include <charconv>
#include <cmath>
#include <sstream>

#include "twintrack/core/error.hpp"

namespace twintrack::external {

namespace {

[[noreturn]] void refuse(const std::string& where, const std::string& expected, const Tree& got) {
    const std::string shown = got.empty() ? "'" + shortened(got.data(), 60) + "'" : "a list or an object";
    throw InvalidParameter(where, "expected " + expected + "; got " + shown);
}

/// The parser calls itself for each level: a hostile text must not use up the stack.
void check_depth(const std::string& json) {
    constexpr int most = 64;
    int depth = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < json.size(); ++i) {
        const char c = json[i];
        if (quoted && c == '\\') ++i;
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == '[' || c == '{') ++depth;
        if (c == ']' || c == '}') --depth;
        if (depth > most) throw InvalidParameter("JSON", "is nested too deeply; allowed: " + std::to_string(most));
    }
}

bool flag(const Tree& node, const std::string& where) {
    if (node.empty() && node.data() == "true") return true;
    if (node.empty() && node.data() == "false") return false;
    refuse(where, "true or false", node);
}

int whole(const Tree& node, const std::string& where) {
    const double x = number(node, where);
    if (x != std::floor(x) || std::fabs(x) > 2147483647.0) refuse(where, "a whole number", node);
    return static_cast<int>(x);
}

std::size_t index_of(const Tree& node, const std::vector<const char*>& choices, const std::string& where) {
    std::string known;
    for (std::size_t i = 0; i < choices.size(); ++i) {
        if (node.empty() && node.data() == choices[i]) return i;
        known += (i ? ", " : "") + std::string(choices[i]);
    }
    refuse(where, "one of " + known, node);
}

void set_parts(const Type& type, void* list, const Tree& node, const std::string& where) {
    constexpr std::size_t most = 1000;
    if (node.size() > most) throw InvalidParameter(where, "has more than " + std::to_string(most) + " entries");
    if (!node.data().empty()) refuse(where, "a list", node);
    type.clear(list);
    for_each_entry(node, where, [&](const Tree& entry, const std::string& place) {
        assign(type.part(), type.append(list), entry, place);
    });
}

void set_field(const Field& f, void* owner, const Tree& node, const std::string& where) {
    const Type& type = *f.type;
    switch (type.kind) {
        case Kind::number:
            f.as<double>(owner) = number(node, where);
            return;
        case Kind::integer:
            f.as<int>(owner) = whole(node, where);
            return;
        case Kind::flag:
            f.as<bool>(owner) = flag(node, where);
            return;
        case Kind::text:
            f.as<std::string>(owner) = text(node, where);
            return;
        case Kind::choice:
            return type.choose(f.in(owner), index_of(node, type.choices, where));
        case Kind::numbers:
            f.as<std::vector<double>>(owner) = numbers(node, where);
            return;
        case Kind::optional_number:
            f.as<std::optional<double>>(owner) =
                is_null(node) ? std::optional<double>() : std::optional(number(node, where));
            return;
        case Kind::part:
            return assign(type.part(), f.in(owner), node, where);
        case Kind::optional_part:
            type.clear(f.in(owner));
            if (!is_null(node)) assign(type.part(), type.append(f.in(owner)), node, where);
            return;
        case Kind::parts:
            return set_parts(type, f.in(owner), node, where);
    }
}

}  // namespace

Tree parse(const std::string& json) {
    check_depth(json);
    Tree tree;
    std::istringstream in(json);
    try {
        boost::property_tree::read_json(in, tree);
    } catch (const boost::property_tree::json_parser_error& e) {
        throw InvalidParameter("JSON", "line " + std::to_string(e.line()) + ": " + e.message());
    }
    return tree;
}

double number(const Tree& node, const std::string& where) {
    const std::string& data = node.data();
    double value = 0.0;
    const auto read = std::from_chars(data.data(), data.data() + data.size(), value);
    if (!node.empty() || data.empty() || read.ec != std::errc{} || read.ptr != data.data() + data.size() ||
        !std::isfinite(value))
        refuse(where, "a number", node);
    return value;
}

std::vector<double> numbers(const Tree& node, const std::string& where) {
    constexpr std::size_t most = 100'000;
    if (node.size() > most) throw InvalidParameter(where, "has more than " + std::to_string(most) + " entries");
    if (!node.data().empty()) refuse(where, "a list of numbers", node);
    std::vector<double> list;
    for_each_entry(node, where,
                   [&](const Tree& entry, const std::string& place) { list.push_back(number(entry, place)); });
    return list;
}

std::string text(const Tree& node, const std::string& where) {
    if (!node.empty()) refuse(where, "text", node);
    return node.data();
}

bool is_null(const Tree& node) { return node.empty() && node.data() == "null"; }

void assign(const Description& description, void* target, const Tree& object, const std::string& where) {
    if (!object.data().empty()) refuse(where, "an object", object);
    for (const auto& [key, node] : object) {
        const Field* field = description.find(key);
        const std::string place = dotted(where, key);
        if (!field) throw InvalidParameter(place, "no such field; there are: " + description.field_names());
        set_field(*field, target, node, place);
    }
}

}  // namespace twintrack::external
