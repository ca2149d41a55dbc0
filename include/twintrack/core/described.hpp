// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <limits>
#include <string>
#include <type_traits>
#include <utility>

/// What the header of a parameter struct needs to be *described*: one declaration
///
///     [[nodiscard]] const Description& description(Tag<Struct>);
///
/// whose list of fields is in `lib/LAYER/fields.cpp` (core/fields.hpp). Cross-field rules go into an optional
/// `void check(const Struct&, const std::string& path)`.
namespace twintrack {

struct Description;

template <class Struct>
struct Tag {};

struct Range {
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();
};

template <class S>
concept Described = requires {
    description(Tag<S>{});
};

/// An enumeration whose values have names: `constexpr std::array<std::pair<E, const char*>, N> names(Tag<E>)`.
template <class E>
concept Named = std::is_enum_v<E> && requires {
    names(Tag<E>{});
};

/// The name of an enumerator; empty for a value that has none.
template <Named E>
[[nodiscard]] constexpr const char* name_of(E value) noexcept {
    for (const auto& [v, name] : names(Tag<E>{}))
        if (v == value) return name;
    return "";
}

/// "−3.2 … 4 ohm" in plain words.
[[nodiscard]] std::string describe(const Range& range, const std::string& unit);

[[nodiscard]] inline bool holds(const Range& range, double value) noexcept {
    return value >= range.least && value <= range.most && value - value == 0.0;  // finite
}

/// `path`.`name`, or only `name` where the path is empty.
[[nodiscard]] std::string dotted(const std::string& path, const std::string& name);

/// Throws InvalidParameter unless `value` is finite and inside `range`.
void require(double value, const Range& range, const std::string& where, const char* unit, const char* meaning);

/// Throws InvalidParameter, with the dotted path of the first value of the described struct at `value` that is not
/// finite or out of range, or as its `check` does.
void validate(const Description& description, const void* value, const std::string& path);

template <Described S>
void validate(const S& value, const std::string& path = {}) {
    validate(description(Tag<S>{}), &value, path);
}

}  // namespace twintrack
