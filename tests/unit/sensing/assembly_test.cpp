// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/sensing/assembly.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <set>

namespace {

using namespace twintrack;
using namespace twintrack::sensing;

template <class Parameters>
std::vector<std::string> all_names(const Parameters& p) {
    std::vector<std::string> out;
    for (const Terminal& t : terminals(p)) out.push_back(t.name);
    return out;
}

// Six and eight terminals: facts of the trade (common practice, no source).
TEST(Assembly, ABodyOnOneSharedSupplyHasSixTerminals) {
    ThrottleBodyParameters p;
    p.supply = Supply::shared;
    const std::vector<std::string> expected = {"motor +", "motor -", "reference", "return", "signal 1", "signal 2"};
    EXPECT_EQ(all_names(p), expected);
}

TEST(Assembly, ABodyOnTwoSuppliesHasEightTerminals) {
    ThrottleBodyParameters p;
    p.supply = Supply::separate;
    const std::vector<std::string> expected = {"motor +",  "motor -",     "reference 1", "return 1",
                                               "signal 1", "reference 2", "return 2",    "signal 2"};
    EXPECT_EQ(all_names(p), expected);
    for (const Terminal& t : terminals(p)) EXPECT_EQ(t.connector, "main");
}

TEST(Assembly, SplitConnectorsKeepMotorAndSensorsApart) {
    ThrottleBodyParameters p;
    p.connectors = Connectors::split;
    p.tracks.resize(3, p.tracks.front());
    const auto all = terminals(p);
    ASSERT_EQ(all.size(), 7U);
    for (const Terminal& t : all) EXPECT_EQ(t.connector, t.name.starts_with("motor") ? "motor" : "sensors");
}

TEST(Assembly, APedalHasNoMotorAndEveryNameOnce) {
    for (const Supply supply : {Supply::shared, Supply::separate})
        for (const std::size_t tracks : {2U, 3U}) {
            PedalParameters p;
            p.supply = supply;
            p.tracks.resize(tracks, p.tracks.front());
            const auto names = all_names(p);
            EXPECT_EQ(names.size(), supply == Supply::shared ? 2 + tracks : 3 * tracks);
            EXPECT_EQ(std::set<std::string>(names.begin(), names.end()).size(), names.size());
        }
}

template <class Parameters>
std::string where(const Parameters& p) {
    try {
        validate(p, "part");
    } catch (const InvalidParameter& e) {
        return e.where();
    }
    return "accepted";
}

TEST(Assembly, SaysWhatIsWrongWithItsParameters) {
    EXPECT_EQ(where(PedalParameters{}), "accepted");
    EXPECT_EQ(where(ThrottleBodyParameters{}), "accepted");
    EXPECT_EQ(where(PedalParameters{.name = ""}), "part.name");
    EXPECT_EQ(where(PedalParameters{.tracks = {TrackParameters{}}}), "part.tracks");
    EXPECT_EQ(where(PedalParameters{.tracks = std::vector<TrackParameters>(4)}), "part.tracks");
    EXPECT_EQ(where(PedalParameters{.tracks = {TrackParameters{}, TrackParameters{.noise = -1.0}}}),
              "part.tracks[2].noise");
    ThrottleBodyParameters body;
    body.name.clear();
    EXPECT_EQ(where(body), "part.name");
    body.mechanics.motor.resistance = 0.0;
    EXPECT_EQ(where(body), "part.mechanics.motor.resistance");
}

}  // namespace
