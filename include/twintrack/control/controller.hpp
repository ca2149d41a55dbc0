// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <vector>

#include "twintrack/control/closed_stop.hpp"
#include "twintrack/control/key_on_test.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/position_loop.hpp"
#include "twintrack/control/signals.hpp"
#include "twintrack/core/table.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::control {

/// Pedal position → demanded opening, a table held at its ends.
struct PedalMapParameters {
    std::vector<double> pedal = {0.0, 0.03, 1.0};      ///< knots [share of pedal travel]
    std::vector<double> opening = {0.02, 0.02, 0.97};  ///< [share of throttle travel]
};

[[nodiscard]] const Description& description(Tag<PedalMapParameters>);

void check(const PedalMapParameters& p, const std::string& path);

/// What the integral does while the voltage is limited: it follows by back-calculation (pid.hpp), or it is held.
enum class Windup { tracked, held };

constexpr std::array<std::pair<Windup, const char*>, 2> names(Tag<Windup>) {
    return {{{Windup::tracked, "tracked"}, {Windup::held, "held"}}};
}

/// Settings of the built-in controller. Gains that are absent follow from the body (tuning.hpp).
struct ControllerParameters {
    PedalMapParameters pedal_map;
    double nominal_supply = 13.5;             ///< [V]
    double set_point_time = 0.017;            ///< [s] of each of two cascaded first-order filters
    double self_check_time = 0.15;            ///< [s] after key-on with the motor off, for the monitor to look
    double twitch_opening = 0.03;             ///< [share of travel] above the default position, demanded at key-on
    double twitch_time = 0.08;                ///< [s]
    double duty_limit = 0.95;                 ///< |duty|
    std::optional<double> proportional;       ///< [V/rad]
    std::optional<double> integral;           ///< [V/(rad·s)]
    std::optional<double> derivative;         ///< [V·s/rad]
    double integral_ratio = 0.1;              ///< D₂ of the damping optimum; 1/2: its own integral
    std::optional<double> phase_margin;       ///< φ_m of the tuning [rad]; absent: gains by the damping optimum
    double crossover = 0.64;                  ///< ω₀ T_Σ of the tuning by phase margin [rad]
    double integral_time = 0.7;               ///< K_p/K_i [s] of the tuning by phase margin
    std::optional<double> derivative_filter;  ///< [s] of the differenced derivative; absent: one period
    double observer_pole = 100.0;             ///< [1/s] of angle and speed; 0: the derivative is differenced
    double load_pole = 100.0;                 ///< [1/s] of the observer's load
    std::optional<double> dead_band;          ///< [share of travel] the integral ignores; absent: one converter code
    double rest_band = 0.002;                 ///< [share of travel] within which the blade comes to rest; 0: never
    double rest_limit = 0.006;                ///< [share of travel] beyond which it is at rest no longer
    double break_away_rate = 0.0;             ///< [V/s] of the push on a blade that stands off its set point; 0: none
    std::optional<double> set_point_speed;    ///< [share of travel / s]; absent: what the motor can stop from
    Windup windup = Windup::held;
    bool feed_forward = true;  ///< springs, friction, back-EMF
    SelfTestParameters self_test{};
    ClosedStopParameters closed_stop{};
};

[[nodiscard]] const Description& description(Tag<ControllerParameters>);

/// The observer's load must not be faster than its angle; the rest limit not narrower than the rest band.
void check(const ControllerParameters& p, const std::string& path);

/// Learned ranges → position; pedal map; set-point filter; PID with feed-forward; duty = volts / supply.
///
///     p    = min(p₁, p₂ᵐᵃˣ, p₃ᵐᵃˣ)          p₁ pedal position by track 1, pₖᵐᵃˣ the highest track k allows (1 % slack)
///     y₁⁺  = y₁ + α (y_d − y₁),  y₂⁺ = y₂ + α (y₁⁺ − y₂),   α = 1 − exp(−h/τ)      y_d demand, y₂ set point [–]
///     u    = PID((y₂ − y) Θ) + u_ff,        y blade opening by throttle track 1, Θ [rad] travel between the stops
///     u_ff = R i + U_b(i) + N K ω_r,        N K i = −τ_spring(θ_r) + M_C ω_r/(|ω_r| + ω_ε) + σ₂ ω_r
///     duty = u / U_supply                   |duty| ≤ duty_limit, which the anti-windup uses
///
/// The PID uses the observed angle and speed (speed_observer.hpp). The integral is held from when the error is within
/// the rest band until it leaves the rest limit or the set point leaves the rest band: friction holds the blade there.
/// A blade that stands beyond the rest limit is pushed with a voltage that grows (`break_away_rate`) until it moves.
///
/// θ_r, ω_r angle and speed of the set point; the springs' default position is the learned one. After key-on it watches
/// with the motor off (`self_check_time`), twitches the blade (`twitch_time`), then follows the demand; with the key-on
/// test (key_on_test.hpp) only if default position and springs are well. Each time the motor is permitted again the
/// loop starts at the blade's own opening with no voltage, and the target moves to the demand over `entry_time`.
/// Without a learned range, with the key off, or while the monitor does not permit the motor, the bridge is
/// high-impedance. The monitor's orders hold before everything: tracks that it does not trust are left out (without any
/// of the blade the last voltage is held but for the feed-forward), the demand is limited, but never below idle (the
/// map's own at rest, or `idle_opening`). No allocation in step(). Literature: Deur et al. 2004 (PID with friction and
/// limp-home compensation, abstract); feed-forward derived in lib/control/README.md.
class Controller {
public:
    static constexpr double entry_time = 0.1;    ///< [s]
    static constexpr double pedal_slack = 0.01;  ///< [share of span] the tracks may differ before the lower one rules

    /// `body` is the nominal body the gains and the feed-forward are made for; `period` of the tick; `filter_time` [s]
    /// and `bits` of the acquisition. Throws InvalidParameter.
    Controller(const ControllerParameters& p, const plant::BodyMechanics& body, std::optional<LearnedRange> learned,
               Time period, double filter_time, int bits);

    Command step(const Input& in) noexcept;

    [[nodiscard]] const PidParameters& gains() const noexcept { return gains_; }
    [[nodiscard]] const LoopCoefficients<double>& loop() const noexcept { return loop_; }
    [[nodiscard]] Time watch_time() const noexcept { return watch_time_; }
    [[nodiscard]] Time run_time() const noexcept { return run_time_; }
    [[nodiscard]] double twitch() const noexcept { return twitch_; }

    /// What it keeps from tick to tick, key-on test and stop following apart: a loop that was run elsewhere continues
    /// here.
    struct Memory {
        bool running = false;
        LoopState<double> loop{};
        double duty = 0.0;
        double pedal = 0.0;
        double demand = 0.0;
        double opening = 0.0;
    };
    [[nodiscard]] const Memory& memory() const noexcept { return memory_; }
    void restore(const Memory& m) noexcept { memory_ = m; }

    [[nodiscard]] const std::optional<LearnedRange>& learned() const noexcept { return learned_; }

private:
    [[nodiscard]] double pedal_position(const Input& in) const noexcept;
    [[nodiscard]] double demand(const Input& in, double pedal) const noexcept;
    void look(const Input& in, Command& out) noexcept;
    void drive(const Input& in, Command& out) noexcept;

    ControllerParameters p_;
    std::optional<LearnedRange> learned_;
    Table pedal_map_;
    double period_;  ///< [s]
    double default_opening_ = 0.0;
    double twitch_;    ///< opening of the twitch [share of learned travel]
    Time watch_time_;  ///< since key-on, before the twitch
    Time run_time_;    ///< after self-check and twitch
    PidParameters gains_;
    LoopCoefficients<double> loop_;

    Memory memory_;
    KeyOnTest test_;
    ClosedStop stop_;
    std::size_t lead_ = 0;   ///< the throttle track in use; the number of tracks: none
    bool switched_ = false;  ///< by another than at the tick before
};

}  // namespace twintrack::control
