// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/bench/session.hpp"
#include "twintrack/bench/signals.hpp"

namespace twintrack::bench {

/// A tick of a session as the tables of signals.hpp need it.
struct SnapshotSignals {
    const Snapshot& now;

    [[nodiscard]] double pedal_travel() const noexcept { return now.pedal_travel; }
    [[nodiscard]] double pedal_volts(std::size_t k) const noexcept { return now.pedal_volts[k]; }
    [[nodiscard]] double asked() const noexcept { return now.asked; }
    [[nodiscard]] double demand() const noexcept { return now.command.demand; }
    [[nodiscard]] double set_point() const noexcept { return now.command.set_point; }
    [[nodiscard]] double opening() const noexcept { return now.command.opening; }
    [[nodiscard]] double blade_opening() const noexcept { return now.blade_opening; }
    [[nodiscard]] double blade_angle() const noexcept { return now.body.angle; }
    [[nodiscard]] double blade_speed() const noexcept { return now.body.speed; }
    [[nodiscard]] double throttle_volts(std::size_t k) const noexcept { return now.throttle_volts[k]; }
    [[nodiscard]] double duty() const noexcept { return now.command.duty; }
    [[nodiscard]] double motor_current() const noexcept { return now.body.current; }
    [[nodiscard]] double motor_voltage() const noexcept { return now.motor_voltage; }
    [[nodiscard]] double supply() const noexcept { return now.supply; }
    [[nodiscard]] double reaction() const noexcept { return static_cast<double>(now.reaction); }
    [[nodiscard]] double awake() const noexcept { return now.awake ? 1.0 : 0.0; }
    [[nodiscard]] double bridge_state() const noexcept { return static_cast<double>(now.input.bridge.state); }
};

}  // namespace twintrack::bench
