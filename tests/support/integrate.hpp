// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <array>
#include <boost/numeric/odeint/algebra/array_algebra.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>

namespace support {

/// Integrates `x` from t0 to t1 under error control with Boost.Odeint's Dormand–Prince pair and calls `see(x, t)` at
/// t0 and after every `pace`.
template <std::size_t N, class System, class Observer>
void integrate(System&& system, std::array<double, N>& x, double t0, double t1, double pace, Observer&& see,
               double tolerance = 1e-10) {
    namespace odeint = boost::numeric::odeint;
    using State = std::array<double, N>;
    odeint::controlled_runge_kutta<odeint::runge_kutta_dopri5<State>> stepper(
        odeint::default_error_checker<double, odeint::array_algebra, odeint::default_operations>(tolerance, tolerance));
    const auto count = static_cast<long>((t1 - t0) / pace + 0.5);
    double t = t0, step = pace;
    see(x, t);
    for (long k = 1; k <= count; ++k) {
        const double next = t0 + static_cast<double>(k) * pace;
        while (t < next) {
            double tried = std::min(step, next - t);
            const bool cut = tried < step;
            const bool accepted = stepper.try_step(system, x, t, tried) == odeint::success;
            if (!accepted || !cut || tried > step) step = tried;
            if (accepted && next - t < 1e-9 * pace) t = next;
        }
        see(x, t);
    }
}

}  // namespace support
