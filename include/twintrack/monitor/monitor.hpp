// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <vector>

#include "twintrack/monitor/assembly_monitor.hpp"
#include "twintrack/monitor/debounced_checks.hpp"
#include "twintrack/monitor/event.hpp"
#include "twintrack/monitor/parameters.hpp"

namespace twintrack::monitor {

/// Checks the samples of a tick and the command of the tick before; sets codes and decides what follows. No
/// allocation in step().
///
/// It checks the learned tracks, or those that it is given when nothing was learned. Without a learned range
/// (P2176) only what needs none is checked. Each code is listed once, at its first confirmation.
class Monitor {
public:
    /// Throws InvalidParameter for thresholds out of range, for assemblies without two or three tracks, and for a
    /// period that is not positive.
    /// `memory`: the code of a learned record that was refused at key-on; then there is no learned range either.
    /// `history`: the codes of earlier key cycles.
    Monitor(const MonitorParameters& p, std::optional<control::LearnedRange> learned, std::size_t pedal_tracks,
            std::size_t throttle_tracks, Time period, std::optional<TroubleCode> memory = {}, FaultMemory history = {});

    /// The checks of the blade run on what the last command says of it.
    Reaction step(const control::Input& in, const control::Command& last) noexcept;
    /// As at a key-on with nothing in the memory.
    void restart() noexcept;
    /// The controller has been in reset: everything counted is lost. Codes stay, and so do reactions that only a key
    /// cycle ends, since they are kept with the codes. `starved`: the key was on.
    void reboot(Time now, bool starved) noexcept;
    /// Notes in the fault memory the forced mode of the reaction in force (P2104 … P2106, P2110).
    void report(Reaction in_force) noexcept;

    [[nodiscard]] Reaction reaction() const noexcept { return reaction_; }
    /// What the reaction orders.
    [[nodiscard]] const Action& action() const noexcept { return p_.ladder.of(reaction_); }
    /// The orders of a reaction.
    [[nodiscard]] const Action& action(Reaction in_force) const noexcept { return p_.ladder.of(in_force); }
    /// Gives the controller this tick's orders: those of the reaction, and which tracks to use.
    void order(control::Input& in) const noexcept;
    /// The latter alone.
    void trust(control::Input& in) const noexcept;

    [[nodiscard]] const std::vector<TroubleCode>& codes() const noexcept { return checks_.codes(); }
    [[nodiscard]] const FaultMemory& history() const noexcept { return checks_.memory(); }
    /// Nothing that it says changes until confirms_in(), while every condition that is still looked for (open()) is
    /// false and what is so now lasts.
    [[nodiscard]] bool settled() const noexcept;
    /// What is still looked for: made, and not confirmed until key-off already.
    struct Open {
        std::array<std::array<AssemblyMonitor::Open, sensing::max_tracks>, 2> tracks{};  ///< of pedal and throttle
        /// By the further track of a pair with the first one; of the second and the third.
        std::array<std::array<bool, sensing::max_tracks>, 2> pairs{};
        std::array<bool, 2> others{};
        bool deviation, motor_open, overload, stalled, blocked, against, stuck_open, supply_low, supply_high,
            reference_low, reference_high;
        bool closing;                        ///< whether the blade closes, since it did not go where it should
        bool deviates, misses, stands_open;  ///< deviation, closing and stuck_open are so now, their time running
    };
    [[nodiscard]] Open open() const noexcept;
    /// The tick from now at which something that lasts will be confirmed.
    [[nodiscard]] std::int64_t confirms_in() const noexcept { return checks_.confirms_in(); }
    [[nodiscard]] const AssemblyMonitor& assembly(Assembly a) const noexcept {
        return a == Assembly::pedal ? pedal_ : throttle_;
    }
    /// As `ticks` of that, before confirms_in(), the last with these samples.
    void pass(std::int64_t ticks, const control::Input& last, const MotionCheck::Seen& blade,
              const std::array<AssemblyMonitor::Anchors, 2>& anchors) noexcept;
    /// The check of the idle speed, whose clocks may be counted elsewhere while nothing is wrong.
    [[nodiscard]] IdleSpeedCheck& idle_speed() noexcept { return idle_speed_; }
    [[nodiscard]] MotionCheck& motion() noexcept { return motion_; }
    [[nodiscard]] const ReactionTable& table() const noexcept { return table_; }
    /// Enters into the memory what happened at the last tick; once a key-on, unless it is over in between.
    void note(Event e) noexcept;
    void clear_codes() noexcept { checks_.clear(); }

private:
    void add_blade();
    void add_surroundings();
    void add_electronics();
    void check_sight() noexcept;
    void check_self_test(const control::Command& last) noexcept;
    void check_blade(const control::Input& in, const control::Command& last) noexcept;
    void check_surroundings(const control::Input& in, const control::Command& last) noexcept;
    void check_electronics(const control::Input& in) noexcept;
    void check_closing(const control::Input& in, const control::Command& last) noexcept;
    void check_idle(const control::Input& in, const control::Command& last) noexcept;
    void watch_engine(const control::Input& in) noexcept;
    [[nodiscard]] bool noted(Event e) const noexcept { return events_[static_cast<std::size_t>(e)].there; }
    [[nodiscard]] bool blade_known() const noexcept {
        return learned_ && throttle_.left() > 0 && !throttle_.undecided(checks_);
    }

    /// Numbers of the conditions that have one place only.
    struct Numbers {
        std::size_t memory, not_learned, default_wrong, no_twitch, no_return, deviation, not_closing, open, overload,
            stalled, blocked, against, stuck_open, default_position, supply_low, supply_high;
        std::array<std::size_t, 2> blind, reference_low, reference_high;
        std::size_t reset, resets, off_open, hot;
        std::array<std::size_t, 3> shorted;
        std::size_t brake, brake_low, brake_high, idle_switch, air_flow, idle_low, idle_high, idle_system;
    };

    MonitorParameters p_;
    bool learned_;
    double default_opening_;
    std::array<std::size_t, 2> tracks_;  ///< of pedal and throttle, as many as have a reference pin
    bool refused_;                       ///< the memory held a record that cannot be used
    DebouncedChecks checks_;
    AssemblyMonitor pedal_, throttle_;
    MotionCheck motion_;
    AirFlowCheck air_flow_;
    IdleSpeedCheck idle_speed_;
    ReactionTable table_;
    ResetCount resets_;
    Reaction reported_ = Reaction::none;
    Numbers n_{};
    struct Noted {
        std::size_t place = 0;  ///< in the memory
        bool there = false;
    };
    std::array<Noted, names(Tag<Event>{}).size()> events_{};
    bool ran_ = false;      ///< the engine, at the tick before
    bool powered_ = false;  ///< the motor has had power since key-on
    Reaction reaction_ = Reaction::none;
};

}  // namespace twintrack::monitor
