// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/table.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "twintrack/core/error.hpp"

namespace {

using twintrack::InvalidParameter;
using twintrack::Table;

TEST(Table, InterpolatesAndHoldsItsEnds) {
    const Table t({0, 1, 3}, {1, 2, 0});
    EXPECT_DOUBLE_EQ(t(-1), 1);
    EXPECT_DOUBLE_EQ(t(0.5), 1.5);
    EXPECT_DOUBLE_EQ(t(2), 1);
    EXPECT_DOUBLE_EQ(t(9), 0);
}

TEST(Table, InverseOfRisingAndFallingTables) {
    const Table up({0, 0.5, 1}, {0.1, 0.9, 0.9});
    EXPECT_DOUBLE_EQ(up.inverse(0.5), 0.25);
    EXPECT_DOUBLE_EQ(up.inverse(0.9), 0.5);
    EXPECT_DOUBLE_EQ(up.inverse(2), 1);
    const Table down({0, 1}, {0.9, 0.1});
    EXPECT_DOUBLE_EQ(down.inverse(0.5), 0.5);
    EXPECT_DOUBLE_EQ(down.inverse(1), 0);
}

TEST(Table, RefusesWhatIsNotATable) {
    EXPECT_THROW(Table({0, 0}, {1, 2}), InvalidParameter);
    EXPECT_THROW(Table({0, 1}, {1}), InvalidParameter);
    EXPECT_THROW(Table({}, {}), InvalidParameter);
    EXPECT_THROW(Table({0, 1}, {1, std::numeric_limits<double>::quiet_NaN()}), InvalidParameter);
}

}  // namespace
