// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/plant/backlash.hpp"
#include "twintrack/plant/bridge.hpp"
#include "twintrack/plant/friction.hpp"
#include "twintrack/plant/motor.hpp"
#include "twintrack/plant/spring.hpp"
#include "twintrack/plant/stops.hpp"

namespace twintrack::plant {

/// Motor, gear, springs, friction and stops on one shaft.
///
///     L di/dt = u(i) − R i − U_b(i) − N K ω
///       dθ/dt = ω
///     J dω/dt = N K i + τ_spring(θ) + τ_stop(θ, ω) − M_friction(ω, z, i) + τ_external
///       dz/dt = bristle rate
///
/// J [kg·m²] of everything that turns, referred to the blade (motor inertia × N² included). A gear with backlash makes
/// two masses of it (backlash.hpp), which the exact solver integrates; the laws below are for one.
struct BodyMechanics {
    double inertia = 0.0025;  ///< J [kg·m²]
    MotorParameters motor;
    SpringParameters springs;
    FrictionParameters friction;
    StopParameters stops;
    BacklashParameters backlash{};
};

[[nodiscard]] const Description& description(Tag<BodyMechanics>);

void check(const BodyMechanics& p, const std::string& path);

template <class T>
struct State {
    T current;  ///< i [A]
    T angle;    ///< θ [rad]
    T speed;    ///< ω [rad/s]
    T bristle;  ///< z [rad]
};

template <class T>
struct Coefficients {
    MotorCoefficients<T> motor;
    SpringCoefficients<T> springs;
    FrictionCoefficients<T> friction;
    StopCoefficients<T> stops;
    T inertia, inverse_inertia;
};

[[nodiscard]] Coefficients<double> coefficients(const BodyMechanics& p);

/// What acts on the body from outside during one tick.
template <class T>
struct Drive {
    Terminal<T> terminal;
    T external_torque{};     ///< [N·m] on the blade, opening positive (air, a hand, ice)
    bool conducting = true;  ///< false once the current has died in high impedance
};

/// di/dt [A/s].
template <class T>
[[nodiscard]] T current_rate(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x) noexcept {
    return d.conducting ? current_rate(c.motor, motor_voltage(d.terminal, x.current), x.current, x.speed) : T(0.0);
}

template <class T>
[[nodiscard]] State<T> derivatives(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x) noexcept {
    const T load = c.motor.blade_constant * x.current;
    const Friction<T> f = friction(c.friction, x.speed, x.bristle, load);
    const T torque = load + spring_torque(c.springs, x.angle) + stop_torque(c.stops, x.angle, x.speed) - f.torque +
                     d.external_torque;
    return {current_rate(c, d, x), x.speed, torque * c.inverse_inertia, f.bristle_rate};
}

/// Where the body keeps energy [J].
template <class T>
struct Energies {
    T magnetic, kinetic, springs, stops, bristle;
    [[nodiscard]] T total() const { return magnetic + kinetic + springs + stops + bristle; }
};

template <class T>
[[nodiscard]] Energies<T> energies(const Coefficients<T>& c, const State<T>& x) noexcept {
    const T half(0.5);
    return {half * x.current * x.current / c.motor.inverse_inductance, half * c.inertia * x.speed * x.speed,
            spring_potential(c.springs, x.angle), stop_potential(c.stops, x.angle),
            half * c.friction.stiffness * x.bristle * x.bristle};
}

/// What crosses the body's border and what turns to heat [W]: d(total energy)/dt = supplied − copper − brushes −
/// friction − stops.
template <class T>
struct Powers {
    T supplied;  ///< u i + τ_external ω
    T copper, brushes, friction, stops;
};

template <class T>
[[nodiscard]] Powers<T> powers(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x) noexcept {
    const T u = d.conducting ? motor_voltage(d.terminal, x.current) : T(0.0);
    const Friction<T> f = friction(c.friction, x.speed, x.bristle, c.motor.blade_constant * x.current);
    const T elastic_stop = stop_torque(c.stops, x.angle, T(0.0));
    const T bristle_power = c.friction.stiffness * x.bristle * f.bristle_rate;
    return {u * x.current + d.external_torque * x.speed, c.motor.resistance * x.current * x.current,
            brush_voltage(c.motor, x.current) * x.current, f.torque * x.speed - bristle_power,
            (elastic_stop - stop_torque(c.stops, x.angle, x.speed)) * x.speed};
}

/// Where the springs leave the unpowered blade [rad]: the default position, held between the stops.
[[nodiscard]] double default_angle(const BodyMechanics& p);

/// Terminal voltage [V] that holds the blade still at `angle`, sliding friction helping (`direction` −1: closing)
/// or hindering (+1: opening): u = (R/NK)(−τ_spring ± M_C) (+ brush drop), the gear's loss counted as friction.
/// Literature: Isermann 2017 eq. 7.1.32.
[[nodiscard]] double hold_voltage(const BodyMechanics& p, double angle, int direction);

}  // namespace twintrack::plant
