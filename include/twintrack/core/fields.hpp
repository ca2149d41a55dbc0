// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cmath>
#include <concepts>
#include <limits>
#include <optional>
#include <string>
#include <tuple>
#include <type_traits>
#include <vector>

#include "twintrack/core/error.hpp"

/// One list of fields per parameter struct drives everything: validation, Python attributes and constructors, study
/// files and the printed tables. A struct is *described* when a function `fields(Tag<Struct>)` beside it returns a
/// tuple of `Field`s. Cross-field rules go into an optional `void check(const Struct&, const std::string& path)`.
namespace twintrack {

struct Range {
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();
};

template <class Owner, class Value>
struct Field {
    Value Owner::*member;
    const char* name;
    const char* unit;     ///< SI text ("ohm", "N*m/rad"), empty for numbers without dimension
    const char* meaning;  ///< one phrase, shown in errors, help and docstrings
    Range range = {};     ///< for numbers and each entry of lists; for lists of parts it bounds their count
};

template <class Struct>
struct Tag {};

template <class S>
concept Described = requires {
    fields(Tag<S>{});
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

template <class T>
struct is_vector : std::false_type {};
template <class T>
struct is_vector<std::vector<T>> : std::true_type {};
template <class T>
struct is_optional : std::false_type {};
template <class T>
struct is_optional<std::optional<T>> : std::true_type {};
template <class T>
struct is_part_list : std::false_type {};
template <Described T>
struct is_part_list<std::vector<T>> : std::true_type {};

/// Calls `visit(field)` for each field of S, in the order of the list.
template <Described S, class Visitor>
constexpr void for_each_field(Visitor&& visit) {
    std::apply([&](const auto&... field) { (visit(field), ...); }, fields(Tag<S>{}));
}

/// "−3.2 … 4 ohm" in plain words.
[[nodiscard]] std::string describe(const Range& range, const std::string& unit);

[[nodiscard]] inline bool holds(const Range& range, double value) noexcept {
    return std::isfinite(value) && value >= range.least && value <= range.most;
}

/// Throws InvalidParameter unless `value` is finite and inside `range`.
void require(double value, const Range& range, const std::string& where, const char* unit, const char* meaning);

template <Described S>
void validate(const S& value, const std::string& path = {});

namespace detail {

[[nodiscard]] inline std::string join(const std::string& path, const std::string& name) {
    return path.empty() ? name : path + "." + name;
}

/// `path` of the owner: a number's own is put together only for the complaint, since most are well.
template <class F, class V>
void validate_value(const F& field, const V& value, const std::string& path) {
    if constexpr (Described<V>) {
        validate(value, join(path, field.name));
    } else if constexpr (is_part_list<V>::value) {
        const std::string where = join(path, field.name);
        require(static_cast<double>(value.size()), field.range, where, "entries", field.meaning);
        for (std::size_t i = 0; i < value.size(); ++i) validate(value[i], where + "[" + std::to_string(i + 1) + "]");
    } else if constexpr (is_vector<V>::value) {
        for (std::size_t i = 0; i < value.size(); ++i)
            if (!holds(field.range, value[i]))
                require(value[i], field.range, join(path, field.name) + "[" + std::to_string(i + 1) + "]", field.unit,
                        field.meaning);
    } else if constexpr (std::is_arithmetic_v<V> && !std::is_same_v<V, bool>) {
        if (!holds(field.range, static_cast<double>(value)))
            require(static_cast<double>(value), field.range, join(path, field.name), field.unit, field.meaning);
    } else if constexpr (is_optional<V>::value) {
        if (value) validate_value(field, *value, path);
    }
}

}  // namespace detail

/// Throws InvalidParameter, with the dotted path of the first value that is not finite or out of range.
template <Described S>
void validate(const S& value, const std::string& path) {
    for_each_field<S>([&](const auto& field) { detail::validate_value(field, value.*(field.member), path); });
    if constexpr (requires { check(value, path); }) check(value, path);
}

}  // namespace twintrack
