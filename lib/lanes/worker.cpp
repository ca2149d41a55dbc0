// SPDX-License-Identifier: BSD-3-Clause
#include "worker.hpp"
#include "twintrack/core/error.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace twintrack::lanes {

namespace {

/// The same complaint with the case's number before its path.
InvalidParameter of_case(std::size_t index, const InvalidParameter& e) {
    const std::string text = e.what();
    const std::string path = "cases[" + std::to_string(index + 1) + "]." + e.where();
    return {path, text.substr(std::min(text.size(), e.where().size() + 2))};
}

}  // namespace

std::optional<std::pair<std::size_t, Case>> Work::next() {
    const std::lock_guard hold(lock_);
    if (stopped_ || next_ >= count_) return {};
    std::pair<std::size_t, Case> next{next_, {}};
    ++next_;
    next.second = source_(next.first);
    return next;
}

void Work::check_period(const Case& c) {
    const std::lock_guard hold(lock_);
    if (period_ == 0.0) period_ = c.bench.control_period;
    if (period_ == c.bench.control_period) return;
    throw InvalidParameter("bench.control_period", "all cases of a run must share one, and the first has " +
                                                       std::to_string(period_) + " s; got " +
                                                       std::to_string(c.bench.control_period) + " s");
}

void Work::deliver(Result&& result) {
    const std::lock_guard hold(lock_);
    if (!stopped_) sink_(std::move(result));
}

void Work::refuse(std::size_t index, std::exception_ptr why) {
    const std::lock_guard hold(lock_);
    if (!why_ || index < refused_) refused_ = index, why_ = std::move(why);
    stopped_ = true;
}

void Work::rethrow() const {
    if (why_) std::rethrow_exception(why_);
}

/// Gives the lane to the next case; false when there is none.
bool Worker::load_next_case(std::size_t lane) {
    std::size_t index = 0;
    cases_[lane].reset();
    try {
        auto next = work_.next();
        if (!next) return false;
        index = next->first;
        work_.check_period(next->second);
        cases_[lane].emplace(index, std::move(next->second), options_, block_, lane);
    } catch (const InvalidParameter& e) {
        work_.refuse(index, std::make_exception_ptr(of_case(index, e)));
    } catch (...) {
        work_.refuse(index, std::current_exception());
    }
    return cases_[lane].has_value();
}

/// Replaces what is over and begins what is due; false when all lanes are empty.
bool Worker::next_events() {
    bool some = false, changed = false;
    for (std::size_t lane = 0; lane < cases_.size(); ++lane) {
        std::optional<LaneCase>& t = cases_[lane];
        while (t && t->over()) {
            work_.deliver(t->result());
            changed = true;
            load_next_case(lane);
        }
        if (!t) continue;
        some = true;
        if (t->tick() >= t->stop()) t->begin();
    }
    if (changed) reshape();
    return some && !work_.stopped();
}

/// What the lanes have in common now; empty lanes repeat one that is not and never need the host.
void Worker::reshape() {
    const auto used = std::find_if(cases_.begin(), cases_.end(), [](const auto& t) { return t.has_value(); });
    if (used == cases_.end()) return;
    const NetShape before = shape_.net;
    shape_ = {.substeps = (*used)->substeps(),
              .curves = block_.curves(),
              .engines = block_.engines(),
              .orifice = plant::orifice()};
    host_only_ = true;
    for (const auto& t : cases_) {
        if (!t) continue;
        t->widen(shape_);
        host_only_ = host_only_ && t->host_only();
    }
    if (shape_.wired) block_.make_room(static_cast<std::size_t>(shape_.net.counts().total()));
    shape_.wires = block_.wires();
    for (auto& t : cases_)
        if (t && shape_.wired && (!t->has_net() || shape_.net != before)) t->put_net(shape_);
    for (std::size_t lane = 0; lane < cases_.size(); ++lane)
        if (!cases_[lane]) (*used)->fill_empty_lane(lane);
}

/// Ticks that can be made before a lane needs the host.
int Worker::free_ticks() const {
    std::int64_t least = 1000;  // often enough to be stopped soon
    for (const auto& t : cases_)
        if (t) least = std::min(least, t->stop() - t->tick());
    return static_cast<int>(std::max<std::int64_t>(least, 1));
}

void Worker::decide(LaneBits flagged) {
    bool changed = false;
    for (std::size_t lane = 0; flagged != 0; ++lane, flagged >>= 1) {
        if (!(flagged & 1) || !cases_[lane]) continue;
        const LaneCase& t = *cases_[lane];
        const bool ordered = t.ordered(), led = t.led();
        cases_[lane]->decide();
        changed = changed || t.ordered() != ordered || t.led() != led;
    }
    if (!changed) return;
    const auto some = [this](bool (LaneCase::*is)() const noexcept) {
        return std::any_of(cases_.begin(), cases_.end(), [&](const auto& t) { return t && ((*t).*is)(); });
    };
    shape_.ordered = some(&LaneCase::ordered), shape_.led = some(&LaneCase::led);
}

void Worker::mark(LaneBits failed) {
    for (std::size_t lane = 0; failed != 0; ++lane, failed >>= 1)
        if ((failed & 1) && cases_[lane]) cases_[lane]->fail("the state is no longer finite", cases_[lane]->period());
}

/// Solves the nets of all lanes; where a clamp or regulator leaves its segment, the host finds the new ones.
void Worker::connect(LaneBits (*solve)(void*, const Shape&)) {
    constexpr int most_rounds = 8;
    for (int round = 0; round < most_rounds; ++round) {
        shape_.net_of_all = block_.common_net();
        LaneBits lost = solve(block_.fields(), shape_), again = 0;
        for (std::size_t lane = 0; lost != 0; ++lane, lost >>= 1) {
            std::optional<LaneCase>& t = cases_[lane];
            if (!(lost & 1) || !t || t->over()) continue;
            if (round + 1 == most_rounds) t->fail("the equations of the wiring do not settle");
            t->find_net_segments();
            again = 1;
        }
        if (!again) return;
    }
}

/// Control of the lanes; those that their cases must decide.
LaneBits Worker::act() {
    return host_only_ ? (LaneBits{1} << cases_.size()) - 1 : kernel_.act(block_.fields(), shape_);
}

/// One tick by its parts; the host checks every lane between control and body.
void Worker::step() {
    kernel_.sense(block_.fields(), shape_);
    if (shape_.wired) {
        connect(kernel_.join);
        kernel_.convert(block_.fields(), shape_);
    }
    decide(act());
    if (shape_.wired) connect(kernel_.drive);
    for (auto& t : cases_)
        if (t) t->store();
    mark(kernel_.advance(block_.fields(), shape_));
}

void Worker::run() {
    for (std::size_t lane = 0; lane < cases_.size(); ++lane)
        if (!load_next_case(lane)) break;
    try {
        reshape();
        while (next_events()) {
            if (!options_.signals.empty() || shape_.wired || host_only_) {
                step();
                continue;
            }
            const Progress p = kernel_.run(block_.fields(), shape_, free_ticks());
            mark(p.failed);
            if (!p.flagged) continue;
            decide(p.flagged);
            mark(kernel_.advance(block_.fields(), shape_));
        }
    } catch (...) {
        work_.refuse(std::numeric_limits<std::size_t>::max(), std::current_exception());
    }
}

}  // namespace twintrack::lanes
