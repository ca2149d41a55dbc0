// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>
#include <map>
#include <tuple>

#include "twintrack/core/error.hpp"
#include "twintrack/study/lanes.hpp"

namespace twintrack::study {

namespace {

using Group = std::vector<std::size_t>;

/// The learn as a lane runs it; nothing where lanes cannot.
std::optional<lanes::Case> learn_in_lane(const Case& c) {
    try {
        lanes::Case learn = lanes::learn_case(bench_of_learn(c), options_of_learn(c));
        lanes::check(learn);
        return learn;
    } catch (const InvalidParameter&) {
        return {};  // the exact solver reports what no solver takes
    }
}

/// Those of one wiring and as many tracks beside each other: lanes side by side all do what one of them needs, without
/// a harness the nets of one that has it. No learn's bits depend on its neighbours.
void put_alike_together(const std::vector<std::optional<lanes::Case>>& learns, Group& group) {
    const auto shape = [&](std::size_t k) {
        const bench::BenchParameters& b = learns[k]->bench;
        return std::tuple(b.wiring.kind, b.pedal.tracks.size(), b.body.tracks.size(), b.pedal.supply, b.body.supply);
    };
    std::stable_sort(group.begin(), group.end(), [&](std::size_t a, std::size_t b) { return shape(a) < shape(b); });
}

void learn_side_by_side(const std::vector<std::optional<lanes::Case>>& learns, const Group& group,
                        const lanes::Options& options, const bench::Interrupt& interrupt, std::vector<Learned>& found) {
    lanes::run(
        group.size(), [&](std::size_t k) { return *learns[group[k]]; }, options,
        [&](lanes::Result&& r) {
            found[group[r.index]] = {std::move(r.learn), {}, true};
        },
        interrupt);
}

Learned learn_exactly(const Case& c, const bench::Interrupt& interrupt) {
    try {
        bench::LearnRun run = run_learn(c, interrupt);
        if (run.outcome.status == Status::interrupted) return {};
        return {std::move(run.result), {}, false};
    } catch (const InvalidParameter& refusal) {
        return {{}, refusal.what(), false};
    }
}

}  // namespace

std::vector<Learned> run_learns(const std::vector<Case>& cases, const lanes::Options& options,
                                const bench::Interrupt& interrupt) {
    std::vector<Learned> found(cases.size());
    std::vector<std::optional<lanes::Case>> learns;
    std::map<double, Group> groups;  // by control period: lanes tick together
    for (std::size_t k = 0; k < cases.size(); ++k) {
        learns.push_back(learn_in_lane(cases[k]));
        if (learns[k]) groups[cases[k].bench.control_period].push_back(k);
    }
    for (auto& group : groups) {
        put_alike_together(learns, group.second);
        learn_side_by_side(learns, group.second, options, interrupt, found);
    }
    for (std::size_t k = 0; k < cases.size(); ++k)
        if (!learns[k] && !(interrupt && interrupt())) found[k] = learn_exactly(cases[k], interrupt);
    return found;
}

}  // namespace twintrack::study
