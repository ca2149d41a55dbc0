// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/speed_observer.hpp"

#include "twintrack/core/exponential.hpp"

namespace twintrack::control {

/// With A = [1 b c; 0 e q; 0 0 1] the characteristic polynomial of A − L [1 0 0] is
///
///     (s − 1 + L₁)(s − e)(s − 1) + b (L₂ (s − 1) + q L₃) + c (s − e) L₃ = (s − z)² (s − z_d),
///
/// solved at s = 1 for L₃, at s = e for L₂, and in s² for L₁; l = A⁻¹ L.
ObserverCoefficients<double> observer_coefficients(double velocity_gain, double motor_time, double period, double pole,
                                                   double load_pole) {
    const double e = exponential(-period / motor_time);
    const double b = motor_time * (1.0 - e);
    const double c = velocity_gain * (period - b);
    const double q = (1.0 - e) * velocity_gain;
    const double z = exponential(-period * pole), load = exponential(-period * load_pole);
    const double third = (1.0 - z) * (1.0 - z) * (1.0 - load) / (b * q + c * (1.0 - e));
    const double second = (q * third - (e - z) * (e - z) * (e - load) / b) / (1.0 - e);
    const double first = 2.0 + e - 2.0 * z - load;
    const double speed = (second - q * third) / e;
    return {1.0, e, b, c, q, first - b * speed - c * third, speed, third};
}

}  // namespace twintrack::control
