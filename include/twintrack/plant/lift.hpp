// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/plant/throttle_body.hpp"

/// Coefficients as constants of another number type.
namespace twintrack::plant {

template <class T>
[[nodiscard]] MotorCoefficients<T> lift(const MotorCoefficients<double>& m) {
    return {T(m.resistance), T(m.inverse_inductance), T(m.blade_constant), T(m.brush_drop)};
}

template <class T>
[[nodiscard]] SpringCoefficients<T> lift(const SpringCoefficients<double>& s) {
    return {T(s.rest),       T(s.open_preload), T(s.open_rate),    T(s.close_preload),
            T(s.close_rate), T(s.width),        T(s.inverse_width)};
}

template <class T>
[[nodiscard]] FrictionCoefficients<T> lift(const FrictionCoefficients<double>& f) {
    return {f.kind,         T(f.coulomb), T(f.excess),    T(f.inverse_stribeck), T(f.viscous),
            T(f.stiffness), T(f.damping), T(f.smoothing), T(f.load_share)};
}

template <class T>
[[nodiscard]] StopCoefficients<T> lift(const StopCoefficients<double>& s) {
    return {T(s.closed), T(s.open), T(s.stiffness), T(s.damping)};
}

template <class T>
[[nodiscard]] Coefficients<T> lift(const Coefficients<double>& c) {
    return {lift<T>(c.motor), lift<T>(c.springs), lift<T>(c.friction),
            lift<T>(c.stops), T(c.inertia),       T(c.inverse_inertia)};
}

}  // namespace twintrack::plant
