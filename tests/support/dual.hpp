// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>

#include "twintrack/core/logarithm.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace support {

/// A number with its derivatives by the four states: shows that the laws run on another number type than `double`,
/// and gives exact Jacobians.
struct Dual {
    double value = 0.0;
    std::array<double, 4> slope{};

    Dual() = default;
    Dual(double v) : value(v) {}  // NOLINT: a plain number is a constant
    Dual(double v, std::size_t seed) : value(v) { slope[seed] = 1.0; }

    [[nodiscard]] static Dual chain(double v, const Dual& a, double by_a) { return chain(v, a, by_a, a, 0.0); }
    [[nodiscard]] static Dual chain(double v, const Dual& a, double by_a, const Dual& b, double by_b) {
        Dual r(v);
        for (std::size_t k = 0; k < 4; ++k) r.slope[k] = by_a * a.slope[k] + by_b * b.slope[k];
        return r;
    }
    friend Dual operator-(const Dual& a) { return chain(-a.value, a, -1.0); }
    friend Dual operator+(const Dual& a, const Dual& b) { return chain(a.value + b.value, a, 1.0, b, 1.0); }
    friend Dual operator-(const Dual& a, const Dual& b) { return chain(a.value - b.value, a, 1.0, b, -1.0); }
    friend Dual operator*(const Dual& a, const Dual& b) { return chain(a.value * b.value, a, b.value, b, a.value); }
    friend Dual operator/(const Dual& a, const Dual& b) {
        const double q = a.value / b.value;
        return chain(q, a, 1.0 / b.value, b, -q / b.value);
    }
    friend bool operator>(const Dual& a, const Dual& b) { return a.value > b.value; }
    friend bool operator<(const Dual& a, const Dual& b) { return a.value < b.value; }
};

inline Dual select(bool condition, const Dual& yes, const Dual& no) { return condition ? yes : no; }
inline Dual min(const Dual& a, const Dual& b) { return b < a ? b : a; }
inline Dual max(const Dual& a, const Dual& b) { return a < b ? b : a; }
inline Dual abs(const Dual& a) { return a.value < 0.0 ? -a : a; }
inline Dual sqrt(const Dual& a) { return Dual::chain(std::sqrt(a.value), a, 0.5 / std::sqrt(a.value)); }
inline Dual exponential(const Dual& a) {
    const double e = twintrack::exponential(a.value);
    return Dual::chain(e, a, e);
}
inline Dual logarithm(const Dual& a) { return Dual::chain(twintrack::logarithm(a.value), a, 1.0 / a.value); }

[[nodiscard]] inline twintrack::plant::Coefficients<Dual> lift(const twintrack::plant::Coefficients<double>& c) {
    const auto& [m, s, f, e, inertia, inverse] = c;
    return {
        {m.resistance, m.inverse_inductance, m.blade_constant, m.brush_drop},
        {s.rest, s.open_preload, s.open_rate, s.close_preload, s.close_rate, s.width, s.inverse_width},
        {f.kind, f.coulomb, f.excess, f.inverse_stribeck, f.viscous, f.stiffness, f.damping, f.smoothing, f.load_share},
        {e.closed, e.open, e.stiffness, e.damping},
        inertia,
        inverse};
}

[[nodiscard]] inline twintrack::plant::Drive<Dual> lift(const twintrack::plant::Drive<double>& d) {
    return {{d.terminal.voltage, d.terminal.resistance, d.terminal.current_limit, d.terminal.mode},
            d.external_torque,
            d.conducting};
}

/// The state as the point at which derivatives are taken: slope k belongs to (i, θ, ω, z)[k].
[[nodiscard]] inline twintrack::plant::State<Dual> seed(const twintrack::plant::State<double>& x) {
    return {{x.current, 0}, {x.angle, 1}, {x.speed, 2}, {x.bristle, 3}};
}

}  // namespace support
