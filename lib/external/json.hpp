// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <boost/property_tree/ptree.hpp>
#include <string>
#include <vector>

#include "twintrack/core/fields.hpp"

/// JSON as a tree of texts: the field that a text goes into says what it is, and a number is rounded but once.
namespace twintrack::external {

using Tree = boost::property_tree::ptree;

/// InvalidParameter with the line of what is not JSON.
[[nodiscard]] Tree parse(const std::string& json);

/// Each of these throws InvalidParameter, its path being `where`, for what the node does not hold.
[[nodiscard]] double number(const Tree& node, const std::string& where);
[[nodiscard]] std::vector<double> numbers(const Tree& node, const std::string& where);
[[nodiscard]] std::string text(const Tree& node, const std::string& where);
[[nodiscard]] bool is_null(const Tree& node);

/// Calls `take(entry, its place)` for each entry of a list.
template <class Take>
void for_each_entry(const Tree& list, const std::string& where, Take&& take) {
    std::size_t i = 0;
    for (const auto& [key, entry] : list) take(entry, where + "[" + std::to_string(++i) + "]");
}

/// Puts the members of an object into the fields of a described struct; those left out keep what they have.
void assign(const Description& description, void* target, const Tree& object, const std::string& where);

}  // namespace twintrack::external
