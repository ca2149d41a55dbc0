// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "twintrack/core/fields.hpp"

namespace support {

/// Numbers that a field with this range must refuse.
[[nodiscard]] inline std::vector<double> bad_numbers(const twintrack::Range& range) {
    std::vector<double> bad = {NAN, INFINITY, -INFINITY};
    if (std::isfinite(range.least)) bad.push_back(std::nextafter(range.least, -INFINITY));
    if (std::isfinite(range.most)) bad.push_back(std::nextafter(range.most, INFINITY));
    return bad;
}

template <class S, class Change>
void expect_refused(const std::string& where, Change&& change) {
    S value{};
    change(value);
    try {
        twintrack::validate(value, "part");
        ADD_FAILURE() << where << " accepted a bad value";
    } catch (const twintrack::InvalidParameter& refusal) {
        EXPECT_EQ(refusal.where(), where) << refusal.what();
    }
}

/// Every number of S refuses NaN, infinities and what lies just outside its range, and says where; the defaults pass.
template <class S>
void expect_every_field_guarded() {
    EXPECT_NO_THROW(twintrack::validate(S{}, "part"));
    twintrack::for_each_field<S>([](const auto& field) {
        using Value = std::remove_cvref_t<decltype(std::declval<S&>().*(field.member))>;
        const std::string where = std::string("part.") + field.name;
        const auto member = field.member;
        if constexpr (std::is_same_v<Value, double> || std::is_same_v<Value, std::optional<double>>) {
            for (const double bad : bad_numbers(field.range)) expect_refused<S>(where, [&](S& s) { s.*member = bad; });
        } else if constexpr (std::is_same_v<Value, int>) {
            expect_refused<S>(where, [&](S& s) { s.*member = static_cast<int>(field.range.least) - 1; });
            if (field.range.most < std::numeric_limits<int>::max())
                expect_refused<S>(where, [&](S& s) { s.*member = static_cast<int>(field.range.most) + 1; });
        } else if constexpr (std::is_same_v<Value, std::vector<double>>) {
            for (const double bad : bad_numbers(field.range))
                expect_refused<S>(where + "[1]", [&](S& s) {
                    if ((s.*member).empty()) (s.*member).resize(1);
                    (s.*member)[0] = bad;
                });
        }
    });
}

}  // namespace support
