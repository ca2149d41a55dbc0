// SPDX-License-Identifier: BSD-3-Clause
// Every parameter struct there is refuses NaN, infinities and what lies just outside the range of each of its numbers.
#include <gtest/gtest.h>

#include "support/refusal.hpp"
#include "twintrack/bench/parameters.hpp"

namespace {

using namespace twintrack;

/// Calls `visit(description)` for a struct and for every struct inside it.
template <class Visitor>
void for_each_struct(const Description& described, Visitor&& visit) {
    visit(described);
    for (const Field& field : described.fields)
        if (field.type->part) for_each_struct(field.type->part(), visit);
}

TEST(DescribedStructs, RefuseBadNumbersWhereverTheyStand) {
    int structs = 0;
    for_each_struct(description(Tag<bench::BenchParameters>{}), [&](const Description& described) {
        ++structs;
        support::expect_every_field_guarded(described);
    });
    EXPECT_GE(structs, 15) << "pedal, body, acquisition, bridge, controller, learn, monitor and what is inside them";
}

TEST(DescribedStructs, EveryFieldHasAMeaningAndEveryNumberARange) {
    for_each_struct(description(Tag<bench::BenchParameters>{}), [](const Description& described) {
        for (const Field& field : described.fields) {
            EXPECT_STRNE(field.meaning, "") << field.name;
            if (field.type->kind == Kind::number || field.type->kind == Kind::integer) {
                EXPECT_TRUE(std::isfinite(field.range.least)) << field.name;
                EXPECT_TRUE(std::isfinite(field.range.most)) << field.name;
            }
        }
    });
}

}  // namespace
