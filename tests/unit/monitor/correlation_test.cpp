// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/correlation.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

TEST(Vote, TheTrackInBothPairsThatDiffer) {
    const Pairs<double> far{0.2, 0.2, 0.2};
    EXPECT_EQ(outvoted({true, true, false}, far), 0u);
    EXPECT_EQ(outvoted({true, false, true}, far), 1u);
    EXPECT_EQ(outvoted({false, true, true}, far), 2u);
}

TEST(Vote, OfOnePairTheTrackThatIsFurtherFromTheThird) {
    EXPECT_EQ(outvoted({true, false, false}, {0.12, 0.07, 0.05}), 0u);
    EXPECT_EQ(outvoted({true, false, false}, {0.12, 0.05, 0.07}), 1u);
    EXPECT_EQ(outvoted({false, true, false}, {0.07, 0.12, 0.05}), 0u);
    EXPECT_EQ(outvoted({false, true, false}, {0.05, 0.12, 0.07}), 2u);
    EXPECT_EQ(outvoted({false, false, true}, {0.07, 0.05, 0.12}), 1u);
    EXPECT_EQ(outvoted({false, false, true}, {0.05, 0.07, 0.12}), 2u);
}

TEST(Vote, NobodyWithoutAMajority) {
    EXPECT_EQ(outvoted({false, false, false}, {}), std::nullopt);
    EXPECT_EQ(outvoted({true, true, true}, {0.2, 0.2, 0.2}), std::nullopt);
}

TEST(Volts, DistanceFromTheLine) {
    const VoltsLine opposed{true, 5.0, -1.0};
    EXPECT_FALSE(off_the_line(opposed, 0.2, 1.0, 4.19));
    EXPECT_TRUE(off_the_line(opposed, 0.2, 1.0, 4.21));
    EXPECT_TRUE(off_the_line(opposed, 0.2, 1.0, 3.79));
    EXPECT_FALSE(off_the_line({true, 0.0, 0.5}, 0.2, 3.0, 1.5));
}

}  // namespace
