// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/reaction_table.hpp"

#include <algorithm>

namespace twintrack::monitor {

namespace {

using C = Check;
using R = Reaction;

bool sound(const ReactionRow& row, const Findings& f, std::size_t side) { return f.left[side] <= row.left; }

bool called(const ReactionRow& row, const Findings& f) {
    const auto& sides = f.confirmed[static_cast<std::size_t>(row.check)];
    const bool pedal = row.side != Side::throttle && sides[0] && sound(row, f, 0);
    const bool throttle = row.side != Side::pedal && sides[1] && sound(row, f, 1);
    return pedal || throttle;
}

/// What every table says of the controller itself, the blade and its motor.
std::vector<ReactionRow> common_reactions() {
    return {
        {.check = C::not_learned},
        {.check = C::self_test},
        {.check = C::correlation, .side = Side::throttle},
        {.check = C::volts, .side = Side::throttle},
        {.check = C::blind, .side = Side::pedal, .reaction = R::idle},
        {.check = C::idle_switch, .reaction = R::idle},
        {.check = C::blind, .side = Side::throttle},
        {.check = C::deviation},
        {.check = C::motion},
        {.check = C::reference},
        {.check = C::air_flow},
        {.check = C::default_position},
        {.check = C::not_closing, .reaction = R::engine_off, .exit = Exit::key_cycle},
        {.check = C::return_spring, .reaction = R::engine_off, .exit = Exit::key_cycle},
        {.check = C::resets, .exit = Exit::key_cycle},
        {.check = C::heat, .reaction = R::limited},
    };
}

void add(std::vector<ReactionRow>& rows, Side side, int left, Reaction reaction) {
    for (const Check c : {C::range, C::rate, C::stuck, C::outvoted})
        rows.push_back({.check = c, .side = side, .left = left, .reaction = reaction});
}

}  // namespace

std::vector<ReactionRow> competition_reactions() {
    std::vector<ReactionRow> rows = common_reactions();
    add(rows, Side::any, 2, R::limited);
    add(rows, Side::any, 1, R::motor_off);
    rows.push_back({.check = C::correlation, .side = Side::pedal});
    rows.push_back({.check = C::volts, .side = Side::pedal});
    rows.push_back({.check = C::brake, .exit = Exit::at_default, .exit_time = 1.0});
    return rows;
}

std::vector<ReactionRow> graded_reactions() {
    std::vector<ReactionRow> rows = common_reactions();
    add(rows, Side::any, 2, R::limited);
    add(rows, Side::pedal, 0, R::idle);
    add(rows, Side::throttle, 0, R::motor_off);
    rows.push_back({.check = C::correlation, .side = Side::pedal, .reaction = R::limited});
    rows.push_back({.check = C::volts, .side = Side::pedal, .reaction = R::limited});
    rows.push_back({.check = C::brake, .reaction = R::idle, .exit = Exit::foot_off, .exit_time = 0.2});
    rows.push_back({.check = C::supply, .reaction = R::limited});
    return rows;
}

ReactionTable::ReactionTable(std::vector<ReactionRow> rows, Time period)
    : rows_(std::move(rows)), state_(rows_.size()), period_(period) {}

void ReactionTable::step_row(const ReactionRow& row, State& s, const Findings& f) noexcept {
    if (called(row, f)) {
        s = {true, Time{-1}};
        return;
    }
    if (!s.entered || row.exit == Exit::key_cycle) return;
    const bool let_go = row.exit == Exit::healed || (row.exit == Exit::foot_off && f.pedal <= foot_off) ||
                        (row.exit == Exit::at_default && f.opening <= f.default_opening + near);
    s.waited = !let_go ? Time{-1} : s.waited < Time{0} ? Time{0} : s.waited + period_;
    if (let_go && s.waited >= from_seconds(row.exit_time)) s.entered = false;
}

void ReactionTable::restart() noexcept {
    std::fill(state_.begin(), state_.end(), State{});
    in_force_ = lasting_ = false;
}

void ReactionTable::reboot() noexcept {
    in_force_ = lasting_ = false;
    for (std::size_t k = 0; k < rows_.size(); ++k) {
        if (rows_[k].exit != Exit::key_cycle) state_[k] = {};
        in_force_ = in_force_ || state_[k].entered;
    }
}

/// Nothing but the findings of checks ends or enters the row.
bool ReactionTable::lasts(std::size_t k, const Findings& f) const noexcept {
    return !state_[k].entered || rows_[k].exit == Exit::key_cycle || called(rows_[k], f);
}

Reaction ReactionTable::step(const Findings& f) noexcept {
    if (!f.any && !in_force_) return Reaction::none;
    if (lasting_ && f.confirmed == seen_.confirmed && f.left == seen_.left) return answer_;
    lasting_ = true;
    Reaction severest = Reaction::none;
    int highest = 0;
    bool any = false;
    for (std::size_t k = 0; k < rows_.size(); ++k) {
        step_row(rows_[k], state_[k], f);
        lasting_ = lasting_ && lasts(k, f);
        if (!state_[k].entered) continue;
        const bool higher = !any || rows_[k].priority > highest;
        if (higher) severest = rows_[k].reaction;
        if (higher || rows_[k].priority == highest) severest = std::max(severest, rows_[k].reaction);
        highest = any ? std::max(highest, rows_[k].priority) : rows_[k].priority;
        any = true;
    }
    in_force_ = any;
    seen_ = f;
    return answer_ = severest;
}

}  // namespace twintrack::monitor
