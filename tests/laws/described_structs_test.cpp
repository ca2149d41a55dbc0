// SPDX-License-Identifier: BSD-3-Clause
// Every parameter struct there is refuses NaN, infinities and what lies just outside the range of each of its numbers.
#include <gtest/gtest.h>

#include "support/refusal.hpp"
#include "twintrack/bench/parameters.hpp"

namespace {

using namespace twintrack;

/// Calls `visit(S{})` for S and for every struct inside it.
template <Described S, class Visitor>
void for_each_struct(Visitor&& visit) {
    visit(S{});
    for_each_field<S>([&](const auto& field) {
        using Value = std::remove_cvref_t<decltype(std::declval<S&>().*(field.member))>;
        if constexpr (Described<Value>)
            for_each_struct<Value>(visit);
        else if constexpr (is_part_list<Value>::value)
            for_each_struct<typename Value::value_type>(visit);
    });
}

TEST(DescribedStructs, RefuseBadNumbersWhereverTheyStand) {
    int structs = 0;
    for_each_struct<bench::BenchParameters>([&]<class S>(const S&) {
        ++structs;
        support::expect_every_field_guarded<S>();
    });
    EXPECT_GE(structs, 15) << "pedal, body, acquisition, bridge, controller, learn, monitor and what is inside them";
}

TEST(DescribedStructs, EveryFieldHasAMeaningAndEveryNumberARange) {
    for_each_struct<bench::BenchParameters>([]<class S>(const S&) {
        for_each_field<S>([](const auto& field) {
            using Value = std::remove_cvref_t<decltype(std::declval<S&>().*(field.member))>;
            EXPECT_STRNE(field.meaning, "") << field.name;
            if constexpr (std::is_same_v<Value, double> || std::is_same_v<Value, int>) {
                EXPECT_TRUE(std::isfinite(field.range.least)) << field.name;
                EXPECT_TRUE(std::isfinite(field.range.most)) << field.name;
            }
        });
    });
}

}  // namespace
