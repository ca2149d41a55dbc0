// SPDX-License-Identifier: BSD-3-Clause
// Wiring faults and pin-outs that a bench refuses or remarks on.
#include <gtest/gtest.h>

#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/wiring/pin_out.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;
using fault::Fault;
using fault::Schedule;

Fault at_1500(const std::string& where, const std::string& what, double amount = 0.0, const std::string& with = {}) {
    return {.where = where, .what = what, .from = milliseconds(1500), .amount = amount, .with = with};
}

std::string refusal(const std::vector<Fault>& faults, const BenchParameters& p = {}) {
    try {
        Session session(p, Stroke::rest(1.0), {.faults = Schedule(faults)});
    } catch (const InvalidParameter& e) {
        return e.what();
    }
    return "accepted";
}

TEST(Wires, SayWhatIsWrong) {
    const auto has = [](const std::string& text, const std::string& part) {
        EXPECT_NE(text.find(part), std::string::npos) << text;
    };
    has(refusal({at_1500("pedal signal 4", "open")}), "there is no 'pedal signal 4'; there are: pedal reference 1");
    has(refusal({at_1500("pedal signal 1", "short_to", 0.1, "pedal signal 9")}), "there is no 'pedal signal 9'");
    has(refusal({at_1500("pedal signal 1", "ground_offset", 1.0)}), "there are: controller ground");
    has(refusal({at_1500("pedal signal 1", "regulator_offset", 1.0)}),
        "there are: pedal regulator, throttle regulator");
    has(refusal({at_1500("pedal signal 1", "short_to", 0.1)}), "faults[1].with: short_to needs a second terminal");
    has(refusal({at_1500("pedal signal 1", "leak")}), "faults[1].amount");
    Fault f = at_1500("pedal signal 1", "open");
    f.ramp = milliseconds(1);
    has(refusal({f}), "faults[1].ramp: open is there at once");
    f.ramp = Time{0}, f.every = milliseconds(1), f.lasting = milliseconds(1);
    has(refusal({f}), "faults[1].lasting: must be more than 0 and less than the period");
    f = at_1500("pedal signal 1", "exchange", 0.0, "pedal signal 2");
    f.every = milliseconds(1), f.lasting = Time{100};
    has(refusal({f}), "faults[1].every: exchange does not come and go");
    BenchParameters p;
    p.wiring.kind = WiringKind::ideal;
    has(refusal({at_1500("pedal signal 1", "open")}, p), "needs the wiring 'harness'");
}

TEST(Wires, APinOutOfOnesOwnIsSimulatedAndRemarkedOn) {
    BenchParameters p;
    p.wiring.pin_out = wiring::correct_pin_out(p.pedal, p.body);
    EXPECT_TRUE(remarks(p).empty());
    const auto last = p.wiring.pin_out.back();
    p.wiring.pin_out.pop_back();
    ASSERT_EQ(remarks(p).size(), 1u);
    EXPECT_NE(remarks(p)[0].find("'" + last.terminal + "' is not connected"), std::string::npos);
    Session session(p, Stroke::rest(1.0));
    for (int k = 0; k < 20; ++k) session.step();
    EXPECT_TRUE(session.outcome().ok());
    p.wiring.pin_out[0].terminal = "pedal signal 7";
    EXPECT_THROW(validate(p), InvalidParameter);
}

TEST(Wires, TwoFaultsOfOneWireThatBothMoveCannotBeTogether) {
    Fault loose = at_1500("pedal signal 1", "open"), growing = at_1500("pedal signal 1", "series", 1e4);
    loose.every = milliseconds(1), loose.lasting = Time{100};
    growing.ramp = milliseconds(10);
    EXPECT_NE(refusal({loose, growing}), "accepted");
    growing.ramp = Time{0};
    EXPECT_EQ(refusal({loose, growing}), "accepted") << "a worn contact may be loose too";
}

}  // namespace
