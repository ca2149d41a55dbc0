// SPDX-License-Identifier: BSD-3-Clause
// ISO 16750-2:2023, 4.6.1.1 and 4.6.3, known second-hand.
#include "twintrack/fault/supply_profile.hpp"

#include <gtest/gtest.h>

#include <string>

namespace {

using namespace twintrack;
using namespace twintrack::fault;

const SupplyProfile& named(const std::string& name) {
    for (const SupplyProfile& p : supply_profiles())
        if (name == p.name) return p;
    throw std::out_of_range(name);
}

double volts(const std::string& name, double battery, std::int64_t ms) {
    const ImposedVoltage p = imposed_voltage(named(name), milliseconds(ms));
    return (1.0 - p.share) * battery + p.share * p.volts;
}

TEST(SupplyProfile, HasTheLevelsOfTheStandard) {
    struct Level {
        const char* name;
        double first, second;
        std::int64_t held_ms, rise_ms;
    };
    for (const Level& l : {Level{"start_level_1", 8.0, 9.5, 1000, 40}, Level{"start_level_2", 4.5, 6.5, 10000, 100},
                           Level{"start_level_3", 3.0, 5.0, 1000, 100}, Level{"start_level_4", 6.0, 6.5, 10000, 100}}) {
        EXPECT_EQ(volts(l.name, 12.0, 0), 12.0);
        EXPECT_NEAR(volts(l.name, 12.0, 5), l.first, 1e-9) << l.name << ": within 5 ms";
        EXPECT_NEAR(volts(l.name, 12.0, 20), l.first, 1e-9) << l.name << ": for 15 ms";
        EXPECT_NEAR(volts(l.name, 12.0, 45), 0.5 * (l.first + l.second), 1e-9) << l.name << ": half way up";
        EXPECT_NEAR(volts(l.name, 12.0, 70 + l.held_ms / 2), l.second, 1e-9);
        EXPECT_NEAR(volts(l.name, 12.0, 70 + l.held_ms + l.rise_ms / 2), 0.5 * (12.0 + l.second), 1e-9);
        EXPECT_NEAR(volts(l.name, 12.0, 70 + l.held_ms + l.rise_ms), 12.0, 1e-9) << l.name << ": over";
    }
}

TEST(SupplyProfile, AMomentaryDropGoesTo4500Millivolts) {
    EXPECT_NEAR(volts("momentary_drop", 9.0, 5), 6.75, 1e-9);
    for (const int ms : {10, 60, 110}) EXPECT_NEAR(volts("momentary_drop", 9.0, ms), 4.5, 1e-9);
    EXPECT_EQ(volts("momentary_drop", 9.0, 120), 9.0);
}

TEST(SupplyProfile, IsNothingBeforeAndAfter) {
    for (const SupplyProfile& p : supply_profiles()) {
        EXPECT_EQ(imposed_voltage(p, Time{-1}), ImposedVoltage{}) << p.name;
        EXPECT_EQ(imposed_voltage(p, milliseconds(20000)), ImposedVoltage{}) << p.name;
    }
}

}  // namespace
