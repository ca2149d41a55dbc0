// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

/// Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
/// engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
namespace twintrack::plant {

/// What the H-bridge does with the motor's two leads.
enum class BridgeMode {
    drive,           ///< averaged PWM, duty −1 … 1
    brake,           ///< both leads shorted together through the low switches
    high_impedance,  ///< all switches open; the current dies through the diodes
};

constexpr std::array<std::pair<BridgeMode, const char*>, 3> names(Tag<BridgeMode>) {
    return {
        {{BridgeMode::drive, "drive"}, {BridgeMode::brake, "brake"}, {BridgeMode::high_impedance, "high_impedance"}}};
}

/// H-bridge with its supply, averaged over the PWM period.
///
///     drive            u = d U_s − (2 R_sw + d² R_s) i,   faded to nothing between I_max and 1.05 I_max when it pushes
///     brake            u = −2 R_sw i
///     high impedance   u = −sgn(i) (U_s + 2 U_d) until i = 0, then no current
///
/// d duty, U_s open-circuit supply [V], R_s its internal resistance. Averaging holds while the PWM period is short
/// against L/R (ripple: see literature, V·D(1−D)/(L f)). "No current" holds while the back-EMF stays below
/// U_s + 2 U_d, as it does on any supply that can itself turn the blade that fast. Brake does not limit the current.
struct BridgeParameters {
    double switch_resistance = 0.02;  ///< R_sw [Ω] of one switch
    double supply_resistance = 0.03;  ///< R_s [Ω] of battery and feed
    double diode_drop = 0.7;          ///< U_d [V]
    double current_limit = 12.0;      ///< I_max [A]
};

[[nodiscard]] const Description& description(Tag<BridgeParameters>);

/// The bridge as the motor's source for one tick: a voltage behind a resistance, or an open circuit.
template <class T>
struct Terminal {
    T voltage{};        ///< [V] of the source; in high impedance, the magnitude that opposes the current
    T resistance{};     ///< [Ω] in series
    T current_limit{};  ///< [A]
    BridgeMode mode = BridgeMode::high_impedance;
};

/// The bridge that drives, `duty` within −1 … 1; `supply` [V] is the open-circuit voltage.
template <class T>
[[nodiscard]] Terminal<T> driving(const BridgeParameters& p, T duty, T supply) noexcept {
    return {duty * supply, T(2.0 * p.switch_resistance) + duty * duty * T(p.supply_resistance), T(p.current_limit),
            BridgeMode::drive};
}

/// `duty` is held to −1 … 1. `supply` [V] is the open-circuit voltage.
[[nodiscard]] Terminal<double> terminal(const BridgeParameters& p, BridgeMode mode, double duty, double supply);

/// u [V] at the motor for `current`; in high impedance valid while current flows.
template <class T>
[[nodiscard]] T motor_voltage(const Terminal<T>& t, T current) noexcept {
    const T zero(0.0), one(1.0);
    if (t.mode == BridgeMode::high_impedance) return select(current > zero, -t.voltage, t.voltage);
    const T room = clamp((T(1.05) * t.current_limit - abs(current)) / (T(0.05) * t.current_limit), zero, one);
    return t.voltage * select(t.voltage * current > zero, room, one) - t.resistance * current;
}

}  // namespace twintrack::plant
