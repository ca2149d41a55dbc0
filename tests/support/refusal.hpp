// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "twintrack/core/error.hpp"
#include "twintrack/core/fields.hpp"

namespace support {

/// Numbers that a field with this range must refuse.
[[nodiscard]] inline std::vector<double> bad_numbers(const twintrack::Range& range) {
    std::vector<double> bad = {NAN, INFINITY, -INFINITY};
    if (std::isfinite(range.least)) bad.push_back(std::nextafter(range.least, -INFINITY));
    if (std::isfinite(range.most)) bad.push_back(std::nextafter(range.most, INFINITY));
    return bad;
}

/// A default struct, changed by `change(address)`, is refused with the path `where`.
template <class Change>
void expect_refused(const twintrack::Description& described, const std::string& where, Change&& change) {
    const twintrack::OwnedValue value(described);
    change(value.get());
    try {
        twintrack::validate(described, value.get(), "part");
        ADD_FAILURE() << where << " accepted a bad value";
    } catch (const twintrack::InvalidParameter& refusal) {
        EXPECT_EQ(refusal.where(), where) << refusal.what();
    }
}

template <class S, class Change>
void expect_refused(const std::string& where, Change&& change) {
    expect_refused(description(twintrack::Tag<S>{}), where, [&](void* value) { change(*static_cast<S*>(value)); });
}

inline void expect_integer_guarded(const twintrack::Description& described, const twintrack::Field& field) {
    const std::string where = std::string("part.") + field.name;
    const auto& range = field.range;
    expect_refused(described, where, [&](void* s) { field.as<int>(s) = static_cast<int>(range.least) - 1; });
    if (range.most < std::numeric_limits<int>::max())
        expect_refused(described, where, [&](void* s) { field.as<int>(s) = static_cast<int>(range.most) + 1; });
}

/// Every number refuses NaN, infinities and what lies just outside its range, and says where; the defaults pass.
inline void expect_every_field_guarded(const twintrack::Description& described) {
    using twintrack::Kind;
    EXPECT_NO_THROW(twintrack::validate(described, twintrack::OwnedValue(described).get(), "part"));
    for (const twintrack::Field& field : described.fields) {
        const Kind kind = field.type->kind;
        const std::string where = std::string("part.") + field.name;
        if (kind == Kind::integer) expect_integer_guarded(described, field);
        if (kind != Kind::number && kind != Kind::optional_number && kind != Kind::numbers) continue;
        for (const double bad : bad_numbers(field.range)) {
            if (kind == Kind::number) expect_refused(described, where, [&](void* s) { field.as<double>(s) = bad; });
            if (kind == Kind::optional_number)
                expect_refused(described, where, [&](void* s) { field.as<std::optional<double>>(s) = bad; });
            if (kind == Kind::numbers)
                expect_refused(described, where + "[1]", [&](void* s) {
                    auto& list = field.as<std::vector<double>>(s);
                    if (list.empty()) list.resize(1);
                    list[0] = bad;
                });
        }
    }
}

template <class S>
void expect_every_field_guarded() {
    expect_every_field_guarded(description(twintrack::Tag<S>{}));
}

}  // namespace support
