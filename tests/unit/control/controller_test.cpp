// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/controller.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "controller_rig.hpp"
#include "rig.hpp"
#include "support/bodies.hpp"
#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;
using namespace controller_rig;
using plant::BridgeMode;

TEST(ControllerParameters, EveryFieldIsGuarded) {
    support::expect_every_field_guarded<ControllerParameters>();
    support::expect_every_field_guarded<PedalMapParameters>();
    PedalMapParameters backwards{{0.0, 0.5, 0.5}, {0.0, 0.1, 0.2}};
    EXPECT_THROW(validate(backwards, "map"), InvalidParameter);
}

TEST(Controller, RefusesBadSurroundings) {
    const plant::BodyMechanics b;
    const auto make = [&](Time period, double filter, int bits, const LearnedRange& learned) {
        return Controller({}, b, learned, period, filter, bits);
    };
    EXPECT_NO_THROW(make(milliseconds(1), 0.0003, 12, learned_of(b)));
    EXPECT_THROW(make(Time(0), 0.0003, 12, learned_of(b)), InvalidParameter);
    EXPECT_THROW(make(milliseconds(1), -1.0, 12, learned_of(b)), InvalidParameter);
    EXPECT_THROW(make(milliseconds(1), 0.0003, 40, learned_of(b)), InvalidParameter);
    EXPECT_THROW(make(milliseconds(1), 0.0003, 12, LearnedRange{}), InvalidParameter);
}

TEST(Controller, WithoutALearnedRangeTheMotorStaysWithoutPower) {
    Controller c({}, {}, std::nullopt, milliseconds(1), 0.0003, 12);
    for (int k = 0; k < 2000; ++k) {
        const Command out = c.step(at(k * 1e-3, 1.0, 0.1));
        ASSERT_EQ(out.mode, BridgeMode::high_impedance);
        ASSERT_EQ(out.duty, 0.0);
    }
}

// Common practice, no source: the blade twitches when the key goes on.
TEST(Controller, WatchesThenTwitchesThenFollows) {
    rig::Setup setup;
    Controller c({}, setup.body, learned_of(setup.body), milliseconds(1), 0.0003, 12);
    const double rest = learned_of(setup.body).default_opening;
    double highest = 0.0;
    for (const auto& s : rig::run(
             setup, [&](const Input& in) { return c.step(in); }, 1.0)) {
        if (s.time < 0.15) {
            EXPECT_EQ(s.command.mode, BridgeMode::high_impedance);
        }
        if (s.time > 0.15) {
            EXPECT_EQ(s.command.mode, BridgeMode::drive);
        }
        highest = std::max(highest, s.opening);
        if (s.time > 0.6) {
            EXPECT_NEAR(s.opening, 0.02, 0.003);
        }
    }
    EXPECT_GT(highest, rest + 0.01);
    EXPECT_LT(highest, rest + 0.035);
}

TEST(Controller, LosesPowerWithoutPermissionAndComesBackWithoutABump) {
    rig::Setup setup;
    setup.foot = [](double) { return 0.5; };
    setup.spoil = [](double t, Input& in) { in.motor_permitted = t < 1.0 || t > 1.5; };
    Controller c = controller_of(setup.body);
    double before = 0.0;
    for (const auto& s : rig::run(
             setup, [&](const Input& in) { return c.step(in); }, 2.5)) {
        if (s.time > 0.9 && s.time < 1.0) {
            EXPECT_NEAR(s.opening, 0.5, 0.003);
        }
        if (!s.input.motor_permitted) {
            EXPECT_EQ(s.command.mode, BridgeMode::high_impedance);
            EXPECT_EQ(s.command.set_point, s.command.opening);
        }
        if (std::abs(s.time - 1.501) < 1e-6) {
            EXPECT_EQ(s.command.mode, BridgeMode::drive);
            EXPECT_LT(std::abs(s.command.duty), 0.05);
            EXPECT_NEAR(s.command.set_point, before, 0.005);
        }
        before = s.opening;
        if (s.time > 2.2) {
            EXPECT_NEAR(s.opening, 0.5, 0.003);
        }
    }
}

TEST(Controller, TheLowerPedalTrackRules) {
    Controller c = controller_of({});
    EXPECT_NEAR(c.step(at(0, 0.5, 0.1)).pedal, 0.5, 1e-12);
    Input in = at(0, 0.5, 0.1);
    in.pedal[1] = 0.075 + 0.315 * 0.3;
    EXPECT_NEAR(c.step(in).pedal, 0.31, 1e-9) << "track 2 less 1 % slack";
    in.pedal[1] = 0.075 + 0.315 * 0.8;
    EXPECT_NEAR(c.step(in).pedal, 0.5, 1e-12);
    in.pedal[1] = 0.0;
    EXPECT_EQ(c.step(in).pedal, 0.0);
    in = at(0, 0.5, 0.1);
    in.pedal[0] = 0.0;
    EXPECT_LT(c.step(in).pedal, 0.0);
    EXPECT_EQ(c.step(in).demand, 0.0);
}

TEST(Controller, ASaturatedKneeTrackDoesNotLimit) {
    LearnedRange range = learned_of({});
    for (std::size_t i = 0; i < curve_knots; ++i)
        range.pedal[1].curve[i] = 0.1 + 0.8 * std::fmin(static_cast<double>(i) / 16.0, 1.0);
    Controller c(straight_map(), {}, range, milliseconds(1), 0.0003, 12);
    Input in = at(0, 0.9, 0.1);
    in.pedal[1] = 0.897;
    EXPECT_NEAR(c.step(in).pedal, 0.9, 1e-12);
    in.pedal[1] = 0.5;
    EXPECT_NEAR(c.step(in).pedal, 0.255, 1e-9);
}

// Voltage compensation: the same volts at the motor whatever the supply is.
TEST(Controller, DividesByTheMeasuredSupply) {
    ControllerParameters p = straight_map();
    p.self_check_time = p.twitch_time = 0.0;
    const Controller fresh(p, {}, learned_of({}), milliseconds(1), 0.0003, 12);
    Controller low = fresh, high = fresh, blind = fresh;
    double volts = 0.0;
    for (int k = 0; k < 20; ++k) {
        volts = low.step(at(k * 1e-3, 0.31, 0.3, 11.0)).duty * 11.0;
        EXPECT_NEAR(volts, high.step(at(k * 1e-3, 0.31, 0.3, 15.0)).duty * 15.0, 1e-9);
        EXPECT_NEAR(volts, blind.step(at(k * 1e-3, 0.31, 0.3, 0.0)).duty * 13.5, 1e-9);
    }
    EXPECT_GT(volts, 0.1);
    EXPECT_LT(volts, 10.0);
}

TEST(Controller, GivenGainsReplaceTheTunedOnes) {
    ControllerParameters p;
    p.proportional = 50.0;
    p.integral = 0.0;
    const Controller c(p, {}, learned_of({}), milliseconds(1), 0.0003, 12);
    EXPECT_EQ(c.gains().proportional, 50.0);
    EXPECT_EQ(c.gains().integral, 0.0);
    EXPECT_GT(c.gains().derivative, 0.0);
}

TEST(Controller, SameInputsSameBits) {
    rig::Setup setup;
    setup.foot = [](double t) { return 0.5 + 0.4 * std::sin(9.0 * t); };
    Controller a = controller_of(setup.body), b = controller_of(setup.body);
    const auto first = rig::run(
        setup, [&](const Input& in) { return a.step(in); }, 1.0);
    const auto second = rig::run(
        setup, [&](const Input& in) { return b.step(in); }, 1.0);
    for (std::size_t k = 0; k < first.size(); ++k) ASSERT_EQ(first[k].command.duty, second[k].command.duty);
}

}  // namespace
