// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/harness.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "pairs.hpp"
#include "twintrack/wiring/edit.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::plant::BridgeMode;
using twintrack::plant::BridgeParameters;
using twintrack::test::Pair;
using twintrack::test::pairs;

HarnessInput some_input() {
    HarnessInput in;
    in.pedal = {0.3, 0.15, 0.7};
    in.throttle = {0.25, 0.75, 0.4};
    in.mode = BridgeMode::drive;
    in.duty = 0.4;
    in.motor_current = 2.0;
    return in;
}

/// Good copper, no loads: as near to nothing between terminal and pin as the parameters go.
HarnessParameters nearly_ideal() {
    HarnessParameters p;
    for (WireParameters* w : {&p.sensor_wire, &p.motor_wire, &p.supply_wire, &p.ground_wire})
        w->length = 0, w->contacts = 0;
    p.controller.regulator_resistance = p.controller.trace_resistance = 1e-3;
    p.controller.consumption_resistance = p.controller.pull_resistance = 1e9;
    p.controller.motor_pin_resistance = 1e5;
    return p;
}

// Law: without copper the net says what the ideal connection says.
TEST(Harness, WithoutCopperItIsTheIdealConnection) {
    for (const Pair& pair : pairs()) {
        const BridgeParameters bridge;
        Harness harness(pair.pedal, pair.body, bridge, nearly_ideal());
        HarnessInput in = some_input();
        for (const double duty : {0.4, -0.7, 0.0}) {
            in.duty = duty;
            const HarnessOutput out = harness.connect(in);
            ASSERT_EQ(out.status, NetStatus::ok);
            const auto t = twintrack::plant::terminal(bridge, BridgeMode::drive, duty, in.supply);
            const Ends expected = ideal({in.reference, in.pedal, in.throttle, t});
            for (std::size_t k = 0; k < pair.pedal.tracks.size(); ++k)
                EXPECT_NEAR(out.ends.pedal[k], expected.pedal[k], 3e-4) << pair.name;
            for (std::size_t k = 0; k < pair.body.tracks.size(); ++k)
                EXPECT_NEAR(out.ends.throttle[k], expected.throttle[k], 3e-4) << pair.name;
            EXPECT_NEAR(out.ends.reference, in.reference, 1e-9);
            EXPECT_NEAR(out.ends.motor.voltage, t.voltage, 1e-4) << pair.name;
            EXPECT_NEAR(out.ends.motor.resistance, t.resistance, 1e-5) << pair.name;
        }
    }
}

// Analytic: two 1.5 m leads of 1.5 mm² (12.7 mΩ/m, ISO 6722-1 from memory) with two contacts of 5 mΩ each, two
// switches; at duty 1 also the supply's and the feed's resistance, on both ways.
TEST(Harness, MotorSeesLeadsSwitchesAndFeed) {
    const Pair pair = pairs()[0];
    const BridgeParameters bridge;
    const HarnessParameters p;
    Harness harness(pair.pedal, pair.body, bridge, p);
    HarnessInput in = some_input();
    const double leads = 2 * (1.5 * 0.0127 + 0.01) + 2 * bridge.switch_resistance;
    in.duty = 0.0;
    EXPECT_NEAR(harness.connect(in).ends.motor.resistance, leads, 1e-6);
    in.mode = BridgeMode::brake;
    EXPECT_NEAR(harness.connect(in).ends.motor.resistance, leads, 1e-6);
    EXPECT_NEAR(harness.connect(in).ends.motor.voltage, 0.0, 1e-6);
    in.mode = BridgeMode::drive;
    in.duty = 1.0;
    const double feed = bridge.supply_resistance + resistance(p.supply_wire) + resistance(p.ground_wire);
    EXPECT_NEAR(harness.connect(in).ends.motor.resistance, leads + feed, 1e-4);
    in.mode = BridgeMode::high_impedance;
    const auto released = harness.connect(in).ends.motor;
    EXPECT_EQ(released.mode, BridgeMode::high_impedance);
    EXPECT_NEAR(released.voltage, in.supply + 2 * bridge.diode_drop, 0.05);
}

// Law: the motor's source behind its resistance stands for the whole net, whatever the current.
TEST(Harness, TheveninHoldsForEveryCurrent) {
    const Pair pair = pairs()[1];
    Harness harness(pair.pedal, pair.body);
    HarnessInput in = some_input();
    const auto at_two = harness.connect(in).ends.motor;
    for (const double current : {-3.0, 0.0, 8.0}) {
        in.motor_current = current;
        const auto t = harness.connect(in).ends.motor;
        EXPECT_NEAR(t.voltage, at_two.voltage, 1e-8);
        EXPECT_NEAR(t.resistance, at_two.resistance, 1e-9);
    }
}

// Law: asking for the motor alone gives the same.
TEST(Harness, DriveIsTheMotorsPartOfConnect) {
    const Pair pair = pairs()[2];
    Harness harness(pair.pedal, pair.body);
    HarnessInput in = some_input();
    for (const BridgeMode mode : {BridgeMode::drive, BridgeMode::brake, BridgeMode::high_impedance}) {
        in.mode = mode;
        const auto part = harness.drive(in), whole = harness.connect(in).ends.motor;
        EXPECT_EQ(part.voltage, whole.voltage);
        EXPECT_EQ(part.resistance, whole.resistance);
        EXPECT_EQ(part.mode, whole.mode);
    }
}

// Common practice, no source: an open signal wire is pulled to a rail.
TEST(Harness, AnOpenSignalWireReadsAtARail) {
    const Pair pair = pairs()[0];
    for (const Pull pull : {Pull::down, Pull::up}) {
        HarnessParameters p;
        p.controller.pull = pull;
        Harness harness(pair.pedal, pair.body, {}, p);
        harness.rewire(open(harness.healthy(), "wire throttle signal 1"));
        const HarnessOutput out = harness.connect(some_input());
        EXPECT_NEAR(out.ends.throttle[0], pull == Pull::up ? 5.0 : 0.0, 0.01);
        EXPECT_NEAR(out.ends.throttle[1], 3.75, 0.05);
    }
}

// Common practice, no source: a broken supply or return takes the outputs to a rail.
TEST(Harness, ABrokenSupplyOrReturnTakesTheOutputsToARail) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    harness.rewire(open(harness.healthy(), "wire throttle reference"));
    HarnessOutput out = harness.connect(some_input());
    EXPECT_LT(out.ends.throttle[0], 0.05);
    EXPECT_LT(out.ends.throttle[1], 0.05);
    harness.rewire(open(harness.healthy(), "wire throttle return"));
    out = harness.connect(some_input());
    EXPECT_GT(out.ends.throttle[0], 4.8);
    EXPECT_GT(out.ends.throttle[1], 4.8);
    EXPECT_NEAR(out.ends.pedal[0], 1.5, 0.02);  // the pedal has its own
}

// Common practice, no source: a track-to-track short pulls both together, and shows nothing where the tracks cross.
TEST(Harness, ATrackToTrackShortHidesWhereTheTracksCross) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    harness.rewire(connect(harness.healthy(), "throttle signal 1", "throttle signal 2", 0.05));
    HarnessInput in = some_input();
    HarnessOutput out = harness.connect(in);
    EXPECT_NEAR(out.ends.throttle[0], out.ends.throttle[1], 1e-3);
    EXPECT_NEAR(out.ends.throttle[0], 2.5, 0.02);
    in.throttle = {0.5, 0.5, 0.0};
    out = harness.connect(in);
    EXPECT_NEAR(out.ends.throttle[0], 2.5, 0.02);
}

// Common practice, no source: a ratiometric pair forgives a 5 % reference error: shares of the reference stay.
TEST(Harness, SharesOfTheReferenceForgiveItsError) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    HarnessInput in = some_input();
    const HarnessOutput nominal = harness.connect(in);
    for (const double reference : {4.75, 5.25}) {
        in.reference = reference;
        const HarnessOutput out = harness.connect(in);
        EXPECT_NEAR(out.ends.throttle[0] / out.ends.reference, nominal.ends.throttle[0] / nominal.ends.reference, 2e-6);
        EXPECT_NEAR(out.ends.pedal[1] / out.ends.reference, nominal.ends.pedal[1] / nominal.ends.reference, 2e-6);
    }
}

// Common practice, no source: exchanged motor leads drive the blade the wrong way.
TEST(Harness, ExchangedMotorLeadsReverseTheMotor) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    const auto right = harness.connect(some_input()).ends.motor;
    harness.rewire(exchange(harness.healthy(), "wire motor +", "wire motor -"));
    HarnessInput in = some_input();
    in.motor_current = -in.motor_current;
    const auto wrong = harness.connect(in).ends.motor;
    EXPECT_NEAR(wrong.voltage, -right.voltage, 1e-6);
    EXPECT_NEAR(wrong.resistance, right.resistance, 1e-6);
}

// Return current lifts a shared ground: a sensor return that goes to the chassis in place of the controller reads
// against a ground that the motor's current moves. Analytic: 5 A at duty 1 through the ground wire.
TEST(Harness, MotorCurrentLiftsTheGround) {
    const Pair pair = pairs()[0];
    const HarnessParameters p;
    Harness harness(pair.pedal, pair.body, {}, p);
    Netlist chassis = connect(open(harness.healthy(), "wire throttle return"), "throttle return", "ground point", 1e-3);
    harness.rewire(add_series(std::move(chassis), "ground wire", 0.1));
    HarnessInput in = some_input();
    in.motor_current = 0.0;
    in.duty = 1.0;
    const HarnessOutput still = harness.connect(in);
    in.motor_current = 5.0;
    const HarnessOutput moved = harness.connect(in);
    const double lift = 5.0 * (resistance(p.ground_wire) + 0.1);
    EXPECT_NEAR(moved.ground - still.ground, lift, 2e-3);
    EXPECT_NEAR(still.ends.throttle[0] - moved.ends.throttle[0], 0.75 * lift, 0.02);  // ratio 0.25 of what is between
    EXPECT_NEAR(still.ends.pedal[0], moved.ends.pedal[0], 1e-4);                      // the pedal's return did not move
}

TEST(Harness, AnOpenMotorLeadLeavesTheMotorAlone) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    harness.rewire(open(harness.healthy(), "wire motor +"));
    const HarnessOutput out = harness.connect(some_input());
    EXPECT_EQ(out.status, NetStatus::ok);
    EXPECT_EQ(out.ends.motor.mode, BridgeMode::high_impedance);
    EXPECT_NEAR(out.ends.throttle[0], 1.25, 0.02);
}

// A motor fed past the bridge keeps running when the bridge lets go: the fault no reaction of the controller stops.
TEST(Harness, AMotorFedPastTheBridgeIgnoresIt) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    harness.rewire(connect(leak(harness.healthy(), "motor -", 0.05), "motor +", "battery", 0.05));
    HarnessInput in = some_input();
    in.mode = BridgeMode::high_impedance;
    const auto t = harness.connect(in).ends.motor;
    EXPECT_EQ(t.mode, BridgeMode::drive);
    EXPECT_NEAR(t.voltage, in.supply, 0.1);
    EXPECT_NEAR(t.resistance, 0.13, 0.01);
}

// Law: a resistor that changes from tick to tick gives what an edit and a new reduction give.
TEST(Harness, AVariableResistorIsTheEditMadeEachTick) {
    const Pair pair = pairs()[1];
    Harness varied(pair.pedal, pair.body), edited(pair.pedal, pair.body);
    const HarnessInput in = some_input();
    for (const std::string wire :
         {"wire throttle signal 1", "wire throttle return 1", "wire pedal reference 2", "wire motor +"}) {
        varied.rewire(make_variable(varied.healthy(), wire));
        for (const double more : {0.0, 5.0, 2e3, 0.0}) {
            const Netlist net = add_series(edited.healthy(), wire, more);
            for (const Resistor& r : net.resistors)
                if (r.name == wire) varied.set_resistance(wire, r.resistance);
            edited.rewire(net);
            const HarnessOutput a = varied.connect(in), b = edited.connect(in);
            ASSERT_EQ(a.status, NetStatus::ok);
            for (std::size_t k = 0; k < 2; ++k) {
                EXPECT_NEAR(a.ends.throttle[k], b.ends.throttle[k], 1e-6) << wire << " + " << more;
                EXPECT_NEAR(a.ends.pedal[k], b.ends.pedal[k], 1e-6) << wire << " + " << more;
            }
            EXPECT_EQ(a.ends.motor.mode, b.ends.motor.mode) << wire << " + " << more;
            EXPECT_NEAR(a.ends.motor.voltage, b.ends.motor.voltage, 2e-6) << wire << " + " << more;
            EXPECT_NEAR(a.ends.motor.resistance, b.ends.motor.resistance, 1e-6) << wire << " + " << more;
        }
    }
    EXPECT_THROW(varied.set_resistance("wire pedal signal 1", 1.0), twintrack::InvalidParameter);
    EXPECT_THROW(varied.set_resistance("wire motor +", 0.0), twintrack::InvalidParameter);
}

TEST(Harness, AnUnconnectedTerminalIsSimulated) {
    const Pair pair = pairs()[0];
    PinOut odd = correct_pin_out(pair.pedal, pair.body);
    std::erase_if(odd, [](const Joint& j) { return j.terminal == "pedal signal 2"; });
    Harness harness(pair.pedal, pair.body, {}, {}, odd);
    const HarnessOutput out = harness.connect(some_input());
    EXPECT_EQ(out.status, NetStatus::ok);
    EXPECT_NEAR(out.ends.pedal[1], 0.0, 2e-3);  // the blocking clamp leaks 5 nA into the pull resistor
    EXPECT_NEAR(out.ends.pedal[0], 1.5, 0.02);
}

TEST(Harness, RefusesBadInput) {
    const Pair pair = pairs()[0];
    HarnessParameters p;
    p.controller.pull_resistance = -1;
    EXPECT_THROW(Harness(pair.pedal, pair.body, {}, p), twintrack::InvalidParameter);
    Harness harness(pair.pedal, pair.body);
    HarnessInput in = some_input();
    in.supply = std::nan("");
    EXPECT_THROW(harness.connect(in), twintrack::InvalidParameter);
    in = some_input();
    in.duty = std::nan("");
    EXPECT_THROW(harness.connect(in), twintrack::InvalidParameter);
    EXPECT_THROW(harness.rewire(Netlist{}), twintrack::InvalidParameter);
}

}  // namespace
