// SPDX-License-Identifier: BSD-3-Clause
// A controller in C (examples/own_controller.c) as the unit of a batch, on two threads at once: nothing is shared that
// is written. The sanitizers of the gate run it, and see into the shared object.
#include <gtest/gtest.h>

#include <thread>

#include "twintrack/control/shared_controller.hpp"
#include "twintrack/study/batch.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::study;

std::vector<Case> cases() {
    std::vector<Case> all;
    for (int k = 0; k < 4; ++k) {
        Case c{.stroke = {{0.0, 0.4, 0.6, 1.0}, {0.0, 0.0, 0.5, 0.5}}};
        c.bench.case_number = k;
        fault::Fault f;
        f.where = "pedal.track1", f.what = "offset", f.amount = 0.1, f.from = milliseconds(700);
        if (k % 2 == 1) c.faults = {f};
        all.push_back(std::move(c));
    }
    return all;
}

std::vector<Ran> ran(const control::SharedController& controller, const control::LearnResult& learned) {
    BatchOptions options{.exact = true, .signals = {"blade.opening", "duty"}};
    options.units.controller = [&controller](const auto& range, const auto& bench) {
        return controller.make(range, from_seconds(bench.control_period));
    };
    return run_batch(cases(), std::vector<std::optional<control::LearnResult>>(4, learned), options);
}

TEST(SharedController, GivesTheSameBitsOnAnyThread) {
    const control::LearnResult learned = bench::learn(bench::BenchParameters{}).result;
    const control::SharedController controller(CONTROLLER_IN_C);
    const std::vector<Ran> alone = ran(controller, learned);
    std::vector<Ran> first, second;
    std::thread one([&] { first = ran(controller, learned); }), other([&] { second = ran(controller, learned); });
    one.join(), other.join();
    for (std::size_t k = 0; k < alone.size(); ++k) {
        ASSERT_TRUE(alone[k].result && alone[k].result->outcome.ok()) << alone[k].refused;
        for (const std::vector<Ran>* all : {&first, &second}) {
            const CaseResult& r = *(*all)[k].result;
            for (const char* name : {"blade.opening", "duty"}) {
                const auto a = alone[k].result->record->column(name), b = r.record->column(name);
                ASSERT_TRUE(std::equal(a.begin(), a.end(), b.begin(), b.end())) << name << " of case " << k;
            }
            EXPECT_EQ(r.codes.empty(), k % 2 == 0);
        }
    }
}

}  // namespace
