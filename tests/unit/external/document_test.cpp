// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/external/document.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

using namespace twintrack;
using external::read_document;

TEST(Document, NumbersKeepEveryBit) {
    const auto d = read_document(R"({"bench": {"supply": 12.600000000000001, "body": {"name": "mine",
        "mechanics": {"motor": {"resistance": 1.2345678901234567e0}}}, "controller": {"proportional": null,
        "integral": 3}}, "stroke": {"time": [0, 1], "travel": [0, 0.1]}})");
    EXPECT_EQ(d.bench.supply, 12.600000000000001);
    EXPECT_EQ(d.bench.body.mechanics.motor.resistance, 1.2345678901234567);
    EXPECT_EQ(d.bench.body.name, "mine");
    EXPECT_FALSE(d.bench.controller.proportional);
    EXPECT_EQ(d.bench.controller.integral, 3.0);
    EXPECT_EQ(d.stroke.duration(), 1.0);
}

TEST(Document, FaultsAndSwitches) {
    const auto d = read_document(R"({"faults": [{"where": "supply", "what": "scale", "amount": 0.5, "start": 1,
        "end": null}], "switches": [{"name": "drift", "where": "pedal.track1", "what": "offset", "amount": 0.1}]})");
    ASSERT_EQ(d.faults.size(), 1u);
    EXPECT_EQ(d.faults[0].from, milliseconds(1000));
    EXPECT_FALSE(d.faults[0].to);
    ASSERT_EQ(d.switches.size(), 1u);
    EXPECT_EQ(d.switches[0].name, "drift");
}

struct Wrong {
    const char *json, *says;
};

class Documents : public testing::TestWithParam<Wrong> {};

TEST_P(Documents, AreRefusedWithPlaceAndReason) {
    try {
        (void)read_document(GetParam().json);
        FAIL() << "was taken: " << GetParam().json;
    } catch (const InvalidParameter& e) {
        EXPECT_NE(std::string(e.what()).find(GetParam().says), std::string::npos) << e.what();
    }
}

INSTANTIATE_TEST_SUITE_P(
    All, Documents,
    testing::Values(Wrong{"", "JSON: line 1"}, Wrong{"{\"bench\": ", "JSON: line 1"},
                    Wrong{R"({"benches": {}})", "no such key"},
                    Wrong{R"({"bench": {"suply": 1}})", "bench.suply: no such field"},
                    Wrong{R"({"bench": {"supply": "high"}})", "bench.supply: expected a number; got 'high'"},
                    Wrong{R"({"bench": {"supply": 1e999}})", "bench.supply: expected a number"},
                    Wrong{R"({"bench": {"supply": 99}})", "bench.supply: battery voltage is 99 V; allowed: 0 to 36 V"},
                    Wrong{R"({"bench": {"seed": 1.5}})", "bench.seed: expected a whole number"},
                    Wrong{R"({"bench": {"guard": {"enabled": 1}}})", "bench.guard.enabled: expected true or false"},
                    Wrong{R"({"bench": {"wiring": {"kind": "air"}}})",
                          "bench.wiring.kind: expected one of harness, ideal"},
                    Wrong{R"({"bench": {"pedal": 3}})", "bench.pedal: expected an object"},
                    Wrong{R"({"learned": "often"})", "learned: expected"},
                    Wrong{R"({"learned": {"pedal": [[1, 2]]}})", "learned.pedal[1]: has 2 readings; needed: 33"},
                    Wrong{R"({"stroke": {"time": [0], "speed": [1]}})", "stroke.speed: no such key"},
                    Wrong{R"({"faults": [{"where": "nowhere", "what": "offset"}]})", "nowhere"},
                    Wrong{R"({"faults": [{"where": "pedal.track3", "what": "offset"}]})", "track"},
                    Wrong{R"({"switches": [{"where": "supply", "what": "scale"}]})", "switches: each needs a name"}));

TEST(Document, ADeepOneDoesNotUseUpTheStack) {
    const std::string deep(100000, '[');
    EXPECT_THROW((void)read_document(deep), InvalidParameter);
}
