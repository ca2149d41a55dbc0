// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <boost/property_tree/ptree.hpp>
#include <span>
#include <string>
#include <vector>

#include "twintrack/core/fields.hpp"

/// JSON as a tree of texts, so that each number is read by the C library, to the nearest double.
namespace twintrack::web {

using Tree = boost::property_tree::ptree;

/// InvalidParameter for what is no JSON.
[[nodiscard]] Tree parsed(const std::string& json);
[[nodiscard]] std::string written(const Tree& tree);

/// InvalidParameter, naming `where`, for anything else.
[[nodiscard]] double number(const Tree& value, const std::string& where);
[[nodiscard]] std::vector<double> numbers(const Tree& value, const std::string& where);

/// Sets the named fields of a described struct; unknown names are refused.
void assign(const Description& description, void* target, const Tree& values, const std::string& path);

/// With as many digits as give the same number again.
[[nodiscard]] std::string text(double value);
[[nodiscard]] Tree list_of(std::span<const double> values);

}  // namespace twintrack::web
