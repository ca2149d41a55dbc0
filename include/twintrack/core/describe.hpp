// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <initializer_list>

#include "twintrack/core/fields.hpp"

/// Makes the description of a struct from its list of fields; for `lib/LAYER/fields.cpp` only.
namespace twintrack {

namespace detail {

template <class V>
struct TypeOf;

template <>
struct TypeOf<double> {
    static Type make() { return {.kind = Kind::number}; }
};
template <>
struct TypeOf<int> {
    static Type make() { return {.kind = Kind::integer}; }
};
template <>
struct TypeOf<bool> {
    static Type make() { return {.kind = Kind::flag}; }
};
template <>
struct TypeOf<std::string> {
    static Type make() { return {.kind = Kind::text}; }
};
template <>
struct TypeOf<std::vector<double>> {
    static Type make() { return {.kind = Kind::numbers}; }
};
template <>
struct TypeOf<std::optional<double>> {
    static Type make() { return {.kind = Kind::optional_number}; }
};

template <Named E>
struct TypeOf<E> {
    static Type make() {
        Type t{.kind = Kind::choice};
        for (const auto& entry : names(Tag<E>{})) t.choices.push_back(entry.second);
        t.chosen = [](const void* value) { return name_of(*static_cast<const E*>(value)); };
        t.choose = [](void* value, std::size_t index) { *static_cast<E*>(value) = names(Tag<E>{})[index].first; };
        return t;
    }
};

template <Described S>
struct TypeOf<S> {
    static Type make() {
        return {.kind = Kind::part, .part = []() -> const Description& { return description(Tag<S>{}); }};
    }
};

template <Described S>
struct TypeOf<std::vector<S>> {
    using List = std::vector<S>;
    static Type make() {
        return {.kind = Kind::parts,
                .part = []() -> const Description& { return description(Tag<S>{}); },
                .count = [](const void* l) { return static_cast<const List*>(l)->size(); },
                .entry = [](const void* l, std::size_t i) -> const void* { return &(*static_cast<const List*>(l))[i]; },
                .clear = [](void* l) { static_cast<List*>(l)->clear(); },
                .append = [](void* l) -> void* { return &static_cast<List*>(l)->emplace_back(); }};
    }
};

template <Described S>
struct TypeOf<std::optional<S>> {
    using List = std::optional<S>;
    static Type make() {
        return {.kind = Kind::optional_part,
                .part = []() -> const Description& { return description(Tag<S>{}); },
                .count = [](const void* l) -> std::size_t { return static_cast<const List*>(l)->has_value() ? 1 : 0; },
                .entry = [](const void* l, std::size_t) -> const void* { return &**static_cast<const List*>(l); },
                .clear = [](void* l) { static_cast<List*>(l)->reset(); },
                .append = [](void* l) -> void* { return &static_cast<List*>(l)->emplace(); }};
    }
};

/// Where in S its member is.
template <class S, class V>
std::size_t offset_of(V S::*member) {
    static const S probe{};
    return static_cast<std::size_t>(reinterpret_cast<const char*>(&(probe.*member)) -
                                    reinterpret_cast<const char*>(&probe));
}

/// A line of the list of fields of S.
template <class S>
struct Line : Field {
    template <class V>
    Line(V S::*member, const char* name_, const char* unit_, const char* meaning_, Range range_ = {})
        : Field{name_, unit_, meaning_, range_, &type_of<V>(), offset_of(member)} {}

private:
    template <class V>
    static const Type& type_of() {
        static const Type type = TypeOf<V>::make();
        return type;
    }
};

}  // namespace detail

/// The description of S: `describe<S>({{&S::resistance, "resistance", "ohm", "armature resistance", {0.05, 100.0}}})`.
template <class S>
[[nodiscard]] Description describe(std::initializer_list<detail::Line<S>> lines) {
    Description d{{lines.begin(), lines.end()},
                  nullptr,
                  []() -> void* { return new S{}; },
                  [](void* value) noexcept { delete static_cast<S*>(value); },
                  [](void* target, const void* source) { *static_cast<S*>(target) = *static_cast<const S*>(source); }};
    if constexpr (requires(const S& value, const std::string& path) { check(value, path); })
        d.check = [](const void* value, const std::string& path) { check(*static_cast<const S*>(value), path); };
    return d;
}

}  // namespace twintrack
