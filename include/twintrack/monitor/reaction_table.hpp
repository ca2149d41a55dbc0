// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/core/time.hpp"
#include "twintrack/monitor/check.hpp"
#include "twintrack/monitor/reaction.hpp"

namespace twintrack::monitor {

/// Which assembly a row is about.
enum class Side { any, pedal, throttle };

constexpr std::array<std::pair<Side, const char*>, 3> names(Tag<Side>) {
    return {{{Side::any, "any"}, {Side::pedal, "pedal"}, {Side::throttle, "throttle"}}};
}

/// When a reaction ends, once its check is healed.
enum class Exit {
    healed,      ///< then
    foot_off,    ///< after the foot has been off the pedal for the row's time
    at_default,  ///< after the blade has been at or below its default position for the row's time (IC.4.7.3)
    key_cycle    ///< not before the key is turned off
};

constexpr std::array<std::pair<Exit, const char*>, 4> names(Tag<Exit>) {
    return {{{Exit::healed, "healed"},
             {Exit::foot_off, "foot off"},
             {Exit::at_default, "at default"},
             {Exit::key_cycle, "key cycle"}}};
}

/// One line of the table: what follows from a check.
struct ReactionRow {
    Check check = Check::range;
    Side side = Side::any;
    int left = 3;  ///< only while no more than so many tracks of that assembly are sound
    Reaction reaction = Reaction::motor_off;
    Exit exit = Exit::healed;
    double exit_time = 0.0;  ///< [s]
    int priority = 0;        ///< among the rows that are entered the highest decides; of equal ones, the severest
};

[[nodiscard]] const Description& description(Tag<ReactionRow>);

/// The student-competition rules 2024: whatever is implausible takes the motor's power away; of three tracks two may go
/// on (T.4.2.6, IC.4.4.5); a blade that does not return stops the engine (IC.4.7.1–2); a shutdown for brake and
/// throttle ends after 1 s at the default position (IC.4.7.3). Supply, drift and brake sensor only leave a code.
[[nodiscard]] std::vector<ReactionRow> competition_reactions();

/// The ladder of the published three-level concept (from memory): a pedal with one track left is limited, without
/// any it idles; a throttle with one track left is limited, without any the motor is off.
[[nodiscard]] std::vector<ReactionRow> graded_reactions();

/// What is known at a tick.
struct Findings {
    static constexpr std::size_t checks = names(Tag<Check>{}).size();
    using Confirmed = std::array<std::array<bool, 2>, checks>;  ///< by check; of the pedal, of the throttle
    bool any = true;                                            ///< false: `confirmed` holds nothing
    Confirmed confirmed{};
    std::array<int, 2> left{};  ///< sound tracks
    double pedal = 0.0;         ///< [share of travel] by the controller
    double opening = 0.0;
    double default_opening = 0.0;
};

/// The table at work.
class ReactionTable {
public:
    static constexpr double foot_off = 0.03;  ///< [share of travel] (this bench's own)
    static constexpr double near = 0.02;      ///< [share of travel] by which friction may hold the blade off

    ReactionTable(std::vector<ReactionRow> rows, Time period);

    Reaction step(const Findings& f) noexcept;
    /// No row in force.
    void restart() noexcept;
    /// After a reset of the controller: only what a key cycle ends stays in force.
    void reboot() noexcept;

    [[nodiscard]] const std::vector<ReactionRow>& rows() const noexcept { return rows_; }
    /// The result changes with the findings of checks only.
    [[nodiscard]] bool lasting() const noexcept { return !in_force_ || lasting_; }
    /// Row k is in force.
    [[nodiscard]] bool entered(std::size_t k) const noexcept { return state_[k].entered; }

private:
    struct State {
        bool entered = false;
        Time waited{-1};  ///< how long the exit's condition has held; −1: it does not
    };
    void step_row(const ReactionRow& row, State& s, const Findings& f) noexcept;
    [[nodiscard]] bool lasts(std::size_t k, const Findings& f) const noexcept;

    std::vector<ReactionRow> rows_;
    std::vector<State> state_;
    bool in_force_ = false;  ///< any row is
    bool lasting_ = false;   ///< nothing changes until `seen_` does
    Findings seen_{};
    Reaction answer_ = Reaction::none;
    Time period_;
};

}  // namespace twintrack::monitor
