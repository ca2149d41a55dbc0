// SPDX-License-Identifier: BSD-3-Clause
#include "learn_rig.hpp"

#include <gtest/gtest.h>

namespace rig {

using namespace twintrack;
using namespace twintrack::control;
using sensing::TrackParameters;

Learned learn(Setup setup, const LearnParameters& p) {
    RangeLearn unit(p, setup.pedal.size(), setup.throttle.size(), milliseconds(1));
    Learned out;
    LearnState before = unit.state();
    const auto step = [&](const Input& in) {
        const Command command = unit.step(in);
        if (unit.state() != before) out.taken.emplace(before, unit.state());
        before = unit.state();
        if (unit.state() == LearnState::first_press && out.pedal_time == 0.0) out.pedal_time = seconds(in.time);
        return command;
    };
    out.samples = run(setup, step, 60.0, [&] { return unit.finished(); });
    out.result = unit.result();
    EXPECT_TRUE(unit.finished()) << "the learn never ended";
    EXPECT_EQ(out.result.accepted, out.result.range.has_value());
    EXPECT_EQ(out.result.accepted, out.result.reason.empty());
    const Command after = unit.step({});
    EXPECT_EQ(after.mode, plant::BridgeMode::high_impedance);
    return out;
}

Setup pressed_twice() {
    Setup s;
    s.foot = [](double t) { return two_presses(t); };
    return s;
}

std::vector<Arrangement> arrangements() {
    const auto line = [](double a, double b) { return TrackParameters{.position = {0.0, 1.0}, .ratio = {a, b}}; };
    const TrackParameters knee{.position = {0.0, 0.5, 1.0}, .ratio = {0.1, 0.92, 0.92}};
    TrackParameters noisy_knee = knee;
    noisy_knee.noise = 0.0008;
    return {{"HalfSlope", {line(0.15, 0.78), line(0.075, 0.39)}},
            {"ParallelWithOffset", {line(0.16, 0.62), line(0.317, 0.777)}},
            {"Opposed", {line(0.12, 0.88), line(0.88, 0.12)}},
            {"Knee", {line(0.3, 0.8), knee}},
            {"NoisyKnee", {line(0.1, 0.5), noisy_knee}},
            {"ThreeTracks", {line(0.1, 0.58), line(0.16, 0.94), line(0.9, 0.3)}}};
}

}  // namespace rig
