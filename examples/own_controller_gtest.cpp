// SPDX-License-Identifier: BSD-3-Clause
// A controller of one's own in a GoogleTest suite. It is the one of own_controller.c, as the shared object that
// `twintrack run --unit` takes; a controller in C++ (own_controller.cpp) goes in its place.
// Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle: engine
// off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <twintrack/bench/learn.hpp>
#include <twintrack/bench/run.hpp>
#include <twintrack/control/shared_controller.hpp>

namespace {

using namespace twintrack;

/// One drive of the pair with the controller under test; every case has a controller of its own.
bench::Run drive(const std::vector<fault::Fault>& faults = {}) {
    static const bench::BenchParameters pair;
    static const control::LearnedRange learned = bench::learn(pair).result.range.value();
    static const control::SharedController under_test(OWN_CONTROLLER);
    bench::SessionOptions options{.learned = learned, .faults = fault::Schedule(faults)};
    options.units.controller = [](const auto& range, const auto& bench) {
        return under_test.make(range, from_seconds(bench.control_period));
    };
    return bench::run(pair, bench::Stroke::rest_half_full_rest(), {}, std::move(options));
}

TEST(OwnController, FollowsTheFootWithoutACode) {
    const bench::Run run = drive();
    ASSERT_TRUE(run.outcome.ok()) << run.outcome.reason;
    EXPECT_TRUE(run.codes.empty()) << run.codes.front().text();
    const auto blade = run.record.column("blade.opening"), asked = run.record.column("asked");
    const auto travel = run.record.column("pedal.travel");
    for (std::size_t i = 0; i < blade.size(); ++i) {
        const std::size_t before = i < 500 ? 0 : i - 500;
        if (travel[before] == travel[i] && i > 1500) {
            ASSERT_NEAR(blade[i], asked[i], 0.05) << "held for half a second, at " << run.record.time()[i] << " s";
        }
    }
}

class OwnControllerWithAFault : public testing::TestWithParam<fault::Fault> {};

TEST_P(OwnControllerWithAFault, LosesItsMotorAndTheSpringsTakeTheBlade) {
    const bench::Run run = drive({GetParam()});
    ASSERT_TRUE(run.outcome.ok()) << run.outcome.reason;
    ASSERT_FALSE(run.codes.empty()) << "the monitor saw nothing";
    EXPECT_LT(seconds(run.codes.front().confirmed - GetParam().from), 0.5) << run.codes.front().text();
    EXPECT_LT(run.record.column("blade.opening").back(), 0.2);
}

fault::Fault from_three_seconds(const char* where, const char* what, double amount) {
    fault::Fault f;
    f.where = where, f.what = what, f.amount = amount, f.from = from_seconds(3.0);
    return f;
}

INSTANTIATE_TEST_SUITE_P(Tracks, OwnControllerWithAFault,
                         testing::Values(from_three_seconds("pedal.track1", "offset", 0.1),
                                         from_three_seconds("pedal.track2", "offset", 0.1),
                                         from_three_seconds("throttle.track1", "offset", -0.1),
                                         from_three_seconds("throttle.track2", "offset", 0.1)));

}  // namespace
