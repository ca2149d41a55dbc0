// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/engine/cylinders.hpp"
#include "twintrack/engine/manifold.hpp"
#include "twintrack/engine/rotation.hpp"
#include "twintrack/plant/orifice.hpp"

namespace twintrack::engine {

/// Manifold, cylinders and crankshaft in one: a mean-value model, good for idle and slow transients; no single firings,
/// no waves, no knock, mixture always at σ.
///
///     ṗ, Ṫ = manifold(ṁ_in, ṁ_out),   ṁ_in = orifice(A + A_v),   ṁ_out = q ω
///     J ω̇  = see rotation.hpp
///     φ̇    = ω
struct EngineParameters {
    ManifoldParameters manifold;
    CylinderParameters cylinders;
    RotationParameters rotation;
};

[[nodiscard]] const Description& description(Tag<EngineParameters>);

template <class T>
struct State {
    T pressure;     ///< p [Pa] of the manifold
    T temperature;  ///< T [K] of its gas
    T speed;        ///< ω [rad/s] of the crank
    T angle;        ///< φ [rad]
};

template <class T>
struct Coefficients {
    plant::Orifice throttle;
    ManifoldCoefficients<T> manifold;
    CylinderCoefficients<T> cylinders;
    RotationCoefficients<T> rotation;
};

/// Throws InvalidParameter.
[[nodiscard]] Coefficients<double> coefficients(const EngineParameters& p);

/// What acts on the engine during one tick.
template <class T>
struct Drive {
    T area;                  ///< effective opening of the throttle [m²]
    plant::GasState<T> air;  ///< outside
    T fuel;                  ///< burning now [kg/rad]
    T spark;                 ///< efficiency of the spark burning now, 0 … 1
    T cold;                  ///< factor on friction
    T accessory_torque;      ///< M_a [N·m]
    T electrical_power;      ///< P [W]
    T starter = T(0.0);      ///< 1: engaged
    T leak = T(0.0);         ///< A_v [m²] effective opening of a vacuum leak: from outside past the throttle
};

template <class T>
struct Flows {
    T in;           ///< ṁ_in [kg/s] through throttle and leak
    T conductance;  ///< G [kg/(s·Pa)]
    T charge;       ///< q [kg/rad]
};

template <class T>
[[nodiscard]] Flows<T> flows(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x) noexcept {
    const T g = plant::flow_conductance(c.throttle, d.area + d.leak, d.air, {x.pressure, x.temperature});
    return {g * (d.air.pressure - x.pressure), g,
            charge_per_radian(c.cylinders, x.pressure, x.temperature, d.air.pressure, x.speed)};
}

/// Torques on the crank [N·m], with the sign they have in J ω̇ = their sum.
template <class T>
struct Torques {
    T indicated, pumping, friction, accessory, generator, starter;
    [[nodiscard]] T sum() const { return indicated + pumping + friction + accessory + generator + starter; }
};

template <class T>
[[nodiscard]] Torques<T> torques(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x) noexcept {
    const T against = -turning(x.speed);
    return {indicated_torque(c.cylinders, d.fuel, d.spark, x.speed),
            against * pumping_torque(c.cylinders, x.pressure, d.air.pressure),
            against * friction_torque(c.rotation, x.speed, d.cold),
            against * d.accessory_torque,
            -generator_torque(c.rotation, d.electrical_power, x.speed),
            select(d.starter > T(0.0), starter_torque(c.rotation, x.speed), T(0.0))};
}

template <class T>
struct Rates {
    State<T> state;    ///< time derivatives
    T pressure_decay;  ///< an upper bound of −∂ṗ/∂p by the inflow [1/s]
};

/// `f` are the flows at `x`.
template <class T>
[[nodiscard]] Rates<T> derivatives(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x,
                                   const Flows<T>& f) noexcept {
    const auto gas = manifold_rates(c.manifold, x.pressure, x.temperature, f.in, d.air.temperature, f.charge * x.speed);
    return {{gas.pressure, gas.temperature, torques(c, d, x).sum() * c.rotation.inverse_inertia, x.speed},
            filling_rate(c.manifold, max(x.temperature, d.air.temperature), f.conductance)};
}

template <class T>
[[nodiscard]] Rates<T> derivatives(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x) noexcept {
    return derivatives(c, d, x, flows(c, d, x));
}

/// One step of h [s] under a constant drive: second order, linearly implicit in the pressure alone, so that a wide-open
/// throttle (answering in 0.2 ms) does not dictate the step.
///
///     (1 + γ h λ) k₁ = f(y),  (1 + γ h λ) k₂ = f(y + h k₁) − 2 k₁,  y⁺ = y + 3/2 h k₁ + 1/2 h k₂,   γ = 1 − 1/√2
///
/// λ acts in the pressure equation only; `f` are the flows at `x`. Literature: Verwer, Spee, Blom, Hundsdorfer, SIAM J.
/// Sci. Comput. 20(4), 1999 (ROS2; second order for any approximation of the Jacobian; from memory).
template <class T>
[[nodiscard]] State<T> advance(const Coefficients<T>& c, const Drive<T>& d, const State<T>& x, const Flows<T>& f,
                               T h) noexcept {
    const T half(0.5), one(1.0), two(2.0), gamma(0.29289321881345248);
    const Rates<T> first = derivatives(c, d, x, f);
    const T damp = one / (one + gamma * h * first.pressure_decay);
    const State<T>& k = first.state;
    const T k1 = k.pressure * damp;
    const State<T> ahead{max(x.pressure + h * k1, T(1.0)), x.temperature + h * k.temperature, x.speed + h * k.speed,
                         x.angle + h * k.angle};
    const State<T> l = derivatives(c, d, ahead).state;
    const T k2 = (l.pressure - two * k1) * damp;
    return {max(x.pressure + h * (T(1.5) * k1 + half * k2), T(1.0)),
            x.temperature + half * h * (k.temperature + l.temperature), x.speed + half * h * (k.speed + l.speed),
            x.angle + half * h * (k.angle + l.angle)};
}

}  // namespace twintrack::engine
