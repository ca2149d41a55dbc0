// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>

#include "inputs.hpp"
#include "signal_line.hpp"
#include "snapshot_signals.hpp"
#include "supervision.hpp"
#include "tracks.hpp"
#include "twintrack/bench/electronics.hpp"
#include "twintrack/bench/engine_loop.hpp"
#include "twintrack/bench/exact_solver.hpp"
#include "twintrack/bench/faulted_body.hpp"
#include "twintrack/bench/session.hpp"

namespace twintrack::bench {

/// What a session is made of; session.cpp begins and changes it, session_tick.cpp makes its ticks.
class Session::Implementation {
public:
    Implementation(const BenchParameters& p, Stroke stroke, SessionOptions options);

    void replace(control::Unit controller) { controller_ = std::move(controller), lasting_ = true; }

    void hold_pedal(std::optional<double> travel);

    void hold_brake(double braking) { supervision_->hold_brake(braking); }

    void inject(fault::Fault f);

    void remove(const std::string& where, const std::string& what);

    [[nodiscard]] const std::vector<fault::Fault>& faults() const noexcept {
        return coming_ ? coming_->faults.faults() : faults_.faults();
    }

    const Snapshot& tick(bool integrate);
    const Snapshot& sense_tick();
    const std::vector<double>& values();

    const Snapshot& snapshot() const noexcept { return now_; }
    Time due() const noexcept { return due_; }
    Record& record() noexcept { return record_; }
    const Outcome& outcome() const noexcept { return outcome_; }
    const std::vector<monitor::TroubleCode>& codes() const noexcept { return supervision_->codes(); }
    const monitor::FaultMemory& history() const noexcept { return supervision_->history(); }

private:
    [[nodiscard]] bool key_on() const;

    /// The controller as its factory makes it; the built-in one without a factory.
    [[nodiscard]] control::Unit fresh() const;

    /// The first tick that is not begun.
    [[nodiscard]] Time next() const noexcept { return stage_ == Stage::due ? due_ : due_ + period_; }

    /// Other faults from then on.
    void use(std::vector<fault::Fault> all);
    void change_faults();

    /// What monitor and controller do at a tick. UnitFailure when one of them fails.
    void work();

    /// In reset: loop and monitor forget; what was learned and the codes are kept.
    void reboot();

    void sleep();

    void apply_faults();

    /// Up to what the controller reads.
    void begin();

    /// Outputs of every track now, with their noise.
    void sense();

    /// What the idle switch says: itself, or what a fault makes of it.
    [[nodiscard]] control::IdleContact contact();

    /// Steps the controller, and never lets it drive a motor that the monitor has switched off.
    void act();

    /// Joins the motor to the bridge until the next tick.
    void connect_motor();

    /// What is left of the tick once it is sensed.
    void make();

    /// A fault of the wiring has started or ended since the tick.
    void switch_motor(Time instant);

    void advance();

    BenchParameters p_;
    Stroke stroke_;
    fault::Schedule faults_;
    Time period_;
    std::int64_t record_every_;
    Tracks pedal_, throttle_;
    Table pedal_map_;
    Wires wires_;
    Inputs inputs_;
    Electronics electronics_;
    ExactSolver engine_;
    std::optional<Supervision> supervision_;
    std::optional<EngineLoop> side_;
    std::optional<control::LearnedRange> learned_;
    control::Unit controller_;
    ControllerFactory make_controller_;
    bool lasting_ = false;        ///< the controller was given as it is: no reset makes it anew
    Time booted_{};               ///< since when the controller runs
    std::optional<double> foot_;  ///< [share of travel] held by hand, in place of the stroke
    std::optional<Time> key_off_, engine_turns_;
    Record record_;
    std::vector<double> row_;  ///< of the record, written anew each time
    sensing::IdleSwitch switch_{p_.pedal.idle_switch};
    SignalLine line_{p_.control_period};
    fault::Effects effects_;
    Stops stops_;
    wiring::HarnessInput sources_;
    plant::Drive<double> drive_;
    plant::State<double> body_{};  ///< between the ticks; the snapshot holds it as it was at the last one
    Snapshot now_;
    Outcome outcome_;
    Time due_{};
    std::int64_t ticks_ = 0;
    enum class Stage { due, sensed, made } stage_ = Stage::due;  ///< of the tick that is due
    bool recorded_;
    /// Other faults from the next tick on.
    struct Coming {
        fault::Schedule faults;
        Wires wires;
    };
    std::optional<Coming> coming_;
};

}  // namespace twintrack::bench
