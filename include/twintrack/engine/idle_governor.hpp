// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/table.hpp"
#include "twintrack/engine/idle_law.hpp"

namespace twintrack::engine {

enum class IdleMode { off, starting, idling, driving, overrun };

constexpr std::array<std::pair<IdleMode, const char*>, 5> names(Tag<IdleMode>) {
    return {{{IdleMode::off, "off"},
             {IdleMode::starting, "starting"},
             {IdleMode::idling, "idling"},
             {IdleMode::driving, "driving"},
             {IdleMode::overrun, "overrun"}}};
}

struct IdleInput {
    double speed = 0.0;      ///< ω [rad/s]
    double pedal = 0.0;      ///< the controller's [share of travel]
    double coolant = 85.0;   ///< [°C]
    bool accessory = false;  ///< a load announces itself
    bool cranking = false;
    bool running = false;
};

struct IdleOutput {
    double area = 0.0;          ///< A [m²] effective opening that idling needs of the throttle
    double spark_retard = 0.0;  ///< ζ [rad]
    bool fuel = true;           ///< false: overrun cut
    double goal = 0.0;          ///< [rad/s] by coolant
    double target = 0.0;        ///< ω_r [rad/s] that the speed is led along
    double authority = 0.0;     ///< share of the air's range left above A
    IdleMode mode = IdleMode::off;
};

/// Holds the idle speed with air, which is strong and late, and with spark, which is weak and immediate.
///
///     A  = A₀(ϑ) + A_l + A_a + A_d + K_p e + I,   e = ω_r − ω,    held to A_least … A_most
///     I⁺ = I + h K_i e                             held still while A is at a limit and e pushes further, or
///                                                  while |e| > entry_band within entry_time of start or tip-out
///     ζ  = ζ₀ − K_s e,                             held to 0 … ζ_most
///
/// A [m²] effective area, the unit in which a choked throttle is linear: the blade angle that gives it is the air
/// path's affair. A₀ table by coolant, A_l learned, A_a for an announced load, A_d dashpot, fading after the pedal is
/// let go. ω_r starts at the speed found at entry (and follows a flare less entry_band for entry_time) and falls to the
/// table's target in `descent_time`, so that the speed falls along a ramp. While the driver drives, I is held
/// still and the spark returns to best torque; the greater of A and the pedal's demand is the bench's choice. The
/// governor takes over when the foot is off and the speed is within `entry_band`, or after `entry_time` at any speed.
/// While it idles near its target, I moves into A_l, which outlives the key. With the foot off and the speed far above
/// the target the fuel is cut (hysteresis): an engine that breathes past its throttle surges between the two
/// thresholds. Literature: structure in Hrovat & Sun, Control Eng. Practice 5(8), 1997, and Ye, IEEE Trans. SMC-C
/// 37(6), 2007 (abstracts, from memory); figures are common practice, no source.
class IdleGovernor {
public:
    /// `period` of the ticks; `learned` air of an earlier key cycle [m²]. Throws InvalidParameter.
    IdleGovernor(const IdleParameters& p, Time period, double learned = 0.0);

    IdleOutput step(const IdleInput& in) noexcept;

    [[nodiscard]] double learned() const noexcept { return x_.learned; }    ///< A_l [m²]
    [[nodiscard]] double integral() const noexcept { return x_.integral; }  ///< I [m²]
    [[nodiscard]] IdleMode mode() const noexcept { return static_cast<IdleMode>(x_.mode); }

private:
    Table goal_;  ///< [rad/s] by coolant
    Table base_;  ///< A₀
    IdleCoefficients<double> c_;
    IdleState<double> x_;
};

}  // namespace twintrack::engine
