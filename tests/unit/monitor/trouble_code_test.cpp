// SPDX-License-Identifier: BSD-3-Clause
// The codes are those of public lists of SAE J2012 / ISO 15031-6 (read in two lists or more; the standard itself was
// not read), the failure types of two public lists of J2012-DA.
#include "twintrack/monitor/trouble_code.hpp"

#include <gtest/gtest.h>

#include <stdexcept>

namespace {

using namespace twintrack::monitor;

TEST(TroubleCode, NamesEveryTrackAndPair) {
    const char* low[2][3] = {{"P2122-16", "P2127-16", "P2132-16"}, {"P0122-16", "P0222-16", "P0227-16"}};
    const char* high[2][3] = {{"P2123-17", "P2128-17", "P2133-17"}, {"P0123-17", "P0223-17", "P0228-17"}};
    for (const Assembly a : {Assembly::pedal, Assembly::throttle})
        for (std::size_t k = 0; k < 3; ++k) {
            EXPECT_EQ(range_low(a, k).text(), low[static_cast<int>(a)][k]);
            EXPECT_EQ(range_high(a, k).text(), high[static_cast<int>(a)][k]);
        }
    EXPECT_EQ(correlation(Assembly::pedal, 0, 1).text(), "P2138-62");
    EXPECT_EQ(correlation(Assembly::pedal, 0, 2).text(), "P2139-62");
    EXPECT_EQ(correlation(Assembly::pedal, 1, 2).text(), "P2140-62");
    EXPECT_EQ(correlation(Assembly::throttle, 0, 1).text(), "P2135-62");
    EXPECT_EQ(correlation(Assembly::throttle, 0, 2).text(), "P2136-62");
    EXPECT_EQ(correlation(Assembly::throttle, 1, 2).text(), "P2137-62");
    EXPECT_EQ(deviation().text(), "P2101-77");
    EXPECT_EQ(not_learned().text(), "P2176-54");
}

TEST(TroubleCode, SaysInWordsWhichSensor) {
    EXPECT_EQ(range_low(Assembly::pedal, 1).meaning, "throttle/pedal position sensor E circuit low");
    EXPECT_EQ(correlation(Assembly::throttle, 0, 2).meaning, "throttle/pedal position sensor A/C voltage correlation");
}

TEST(TroubleCode, KnowsNoFourthTrack) {
    EXPECT_THROW((void)range_low(Assembly::pedal, 3), std::out_of_range);
    EXPECT_THROW((void)correlation(Assembly::throttle, 0, 3), std::out_of_range);
}

TEST(TroubleCode, OfMemoryAndKeyOnTest) {
    EXPECT_EQ(memory_damaged().text(), "P0603-41");
    EXPECT_EQ(memory_foreign().text(), "P0602-56");
    EXPECT_EQ(default_wrong().text(), "P2119-75");
    EXPECT_EQ(no_twitch().text(), "P2112-73");
    EXPECT_EQ(no_return().text(), "P2111-72");
}

TEST(TroubleCode, OfTheFurtherChecks) {
    const char* performance[2][3] = {{"P2121", "P2126", "P2131"}, {"P0121", "P0221", "P0226"}};
    const char* stop[2][3] = {{"P2115-28", "P2116-28", "P2117-28"}, {"P2109-28", "P2113-28", "P2114-28"}};
    for (const Assembly a : {Assembly::pedal, Assembly::throttle})
        for (std::size_t k = 0; k < 3; ++k) {
            const std::string code = performance[static_cast<int>(a)][k];
            EXPECT_EQ(rate_impossible(a, k).text(), code + "-27");
            EXPECT_EQ(track_stuck(a, k).text(), code + "-26");
            EXPECT_EQ(track_outvoted(a, k).text(), code + "-62");
            EXPECT_EQ(stop_drifted(a, k).text(), stop[static_cast<int>(a)][k]);
        }
    EXPECT_EQ(blind(Assembly::pedal).text(), "P2120-29");
    EXPECT_EQ(blind(Assembly::throttle).text(), "P0120-29");
    EXPECT_EQ(reference_low(Assembly::pedal).text(), "P0642-16");
    EXPECT_EQ(reference_high(Assembly::throttle).text(), "P0653-17");
    EXPECT_EQ(supply_low().text(), "P0562-16");
    EXPECT_EQ(brake_and_pedal().text(), "P2299-64");
    EXPECT_EQ(high_air_flow().text(), "P2173-64");
    EXPECT_EQ(motor_open().text(), "P2100-13");
    EXPECT_EQ(idle_system().text() + " " + idle_low().text() + " " + idle_high().text(), "P0505-92 P0506-92 P0507-92");
}

}  // namespace
