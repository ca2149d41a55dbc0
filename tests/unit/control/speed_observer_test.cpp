// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are analytic (the law in speed_observer.hpp) unless a comment says otherwise.
#include "twintrack/control/speed_observer.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "twintrack/core/random.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;

constexpr double h = 0.001, gain = 2.4, motor_time = 0.02;

/// The model itself under `volts` and a constant load.
ObserverState<double> moved(const ObserverState<double>& x, double volts) {
    const double e = std::exp(-h / motor_time), b = motor_time * (1.0 - e), drive = volts + x.load;
    return {x.angle + b * x.speed + gain * (h - b) * drive, e * x.speed + (1.0 - e) * gain * drive, x.load};
}

// The error of the observer obeys the recurrence of its characteristic polynomial (s − z)² (s − z_d).
TEST(SpeedObserver, ItsErrorDecaysWithItsPoles) {
    for (const auto& [pole, load_pole] : {std::pair{100.0, 100.0}, {250.0, 40.0}, {30.0, 10.0}}) {
        const auto c = observer_coefficients(gain, motor_time, h, pole, load_pole);
        ObserverState<double> body{0.3, 4.0, -1.5}, x{};
        std::vector<double> error;
        for (int k = 0; k < 400; ++k) {
            const double volts = 3.0 * std::sin(0.05 * k);
            error.push_back(body.angle - x.angle);
            x = foretold(c, corrected(c, x, body.angle), volts);
            body = moved(body, volts);
        }
        const double z = std::exp(-h * pole), l = std::exp(-h * load_pole);
        for (std::size_t k = 0; k + 3 < error.size(); ++k)
            EXPECT_NEAR(error[k + 3],
                        (2.0 * z + l) * error[k + 2] - (z * z + 2.0 * z * l) * error[k + 1] + z * z * l * error[k],
                        1e-12)
                << pole << " at " << k;
    }
}

TEST(SpeedObserver, FindsSpeedAndLoad) {
    const auto c = observer_coefficients(gain, motor_time, h, 100.0, 100.0);
    ObserverState<double> body{0.0, 0.0, -0.8}, x{};
    for (int k = 0; k < 500; ++k) {
        const double volts = 2.0 + std::sin(0.03 * k);
        x = foretold(c, corrected(c, x, body.angle), volts);
        body = moved(body, volts);
    }
    EXPECT_NEAR(x.angle, body.angle, 1e-9);
    EXPECT_NEAR(x.speed, body.speed, 1e-9);
    EXPECT_NEAR(x.load, -0.8, 1e-9);
}

// White noise of the angle, blade still: the observed speed is far quieter than one differenced over a period.
// A difference has √2 σ/h; a bound of a hundredth of that is regression only.
TEST(SpeedObserver, IsQuieterThanADifference) {
    const auto c = observer_coefficients(gain, motor_time, h, 100.0, 100.0);
    const NoiseStream noise(1, 2, 3);
    ObserverState<double> x{};
    double squares = 0.0, sigma = 1e-3;
    constexpr int count = 20000;
    for (int k = 0; k < count; ++k) {
        const auto seen = corrected(c, x, sigma * noise.normal(static_cast<std::uint64_t>(k)));
        squares += seen.speed * seen.speed;
        x = foretold(c, seen, 0.0);
    }
    EXPECT_LT(std::sqrt(squares / count), 0.02 * std::sqrt(2.0) * sigma / h);
}

}  // namespace
