// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/record.hpp"

#include <gtest/gtest.h>

#include <array>
#include <stdexcept>

#include "twintrack/core/error.hpp"

namespace {

using twintrack::milliseconds;
using twintrack::Record;

TEST(Record, KeepsColumnsOverTime) {
    Record record({{"a", "V"}, {"b", ""}});
    record.append(milliseconds(0), std::array{1.0, 2.0});
    record.append(milliseconds(5), std::array{3.0, 4.0});
    ASSERT_EQ(record.size(), 2U);
    EXPECT_EQ(record.time()[1], 0.005);
    EXPECT_EQ(record.column("b")[0], 2.0);
    EXPECT_EQ(record.column(0)[1], 3.0);
}

TEST(Record, RefusesAnUnknownNameAndSaysWhichThereAre) {
    const Record record({{"a", "V"}, {"b", ""}});
    try {
        (void)record.column("c");
        FAIL();
    } catch (const twintrack::InvalidParameter& refusal) {
        EXPECT_STREQ(refusal.what(), "c: no such signal; there are: a, b");
    }
}

TEST(Record, RefusesARowOfAnotherLength) {
    Record record(std::vector<twintrack::Signal>{{"a", "V"}});
    EXPECT_THROW(record.append(milliseconds(0), std::array{1.0, 2.0}), std::logic_error);
}

}  // namespace
