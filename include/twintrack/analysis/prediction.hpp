// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::analysis {

/// A quantity that a log may determine: a field of the body's mechanics by its dotted path, or one of the log itself.
struct Unknown {
    const char* name;
    const char* unit;
    const char* meaning;
};

/// Those that `predict` can differentiate by. Of the log itself: "start_angle" [rad], "angle_delay" [s] and
/// "current_delay" [s] by which the two signals are late, "current_offset" [A].
[[nodiscard]] std::span<const Unknown> unknowns();

/// What is known of the log beside the body.
struct LogValues {
    double start_angle = 0.0;
    double angle_delay = 0.0, current_delay = 0.0;  ///< [s], at most `longest_delay`
    double current_offset = 0.0;                    ///< [A]
};

inline constexpr double longest_delay = 0.02;  ///< [s]

/// What was done to the body: a source of so many volts behind a resistance, held from each sample to the next.
struct Excitation {
    std::span<const double> voltage;  ///< [V]
    double resistance = 0.0;          ///< [Ω] of bridge and leads
    double period = 1e-3;             ///< [s] between samples
    double substep = 2e-4;            ///< [s] longest step of the body
};

/// A predictor may be led by what was measured: at every sample the blade's angle and speed are moved by these shares
/// of the distance. Both 0: the body is left to itself.
struct Leading {
    std::span<const double> angle;  ///< [rad] as logged, NaN where it is missing; empty: none
    double angle_gain = 0.0;        ///< share
    double speed_gain = 0.0;        ///< [1/s]
};

/// Signals at each sample, and their derivatives by the requested unknowns (sample-major).
struct Prediction {
    std::vector<double> current, angle;        ///< [A], [rad]
    std::vector<double> by_current, by_angle;  ///< samples × unknowns
};

/// Integrates the body together with its sensitivities: the lanes' fixed steps (lanes/body_step.hpp) on dual numbers,
/// so the derivatives are those of the returned numbers. It starts at rest. Bristle friction and one mass
/// only. Throws InvalidParameter for another kind of body or unknown. Literature: output-error and
/// prediction-error methods, L. Ljung, System Identification, 1999, ch. 3 and 7 (from memory); leading that is taken
/// away step by step: C. P. Vyasarayani et al., Multibody Syst. Dyn. 26, 2011 (from memory).
[[nodiscard]] Prediction predict(const plant::BodyMechanics& body, const LogValues& log, const Excitation& excitation,
                                 const Leading& leading, const std::vector<std::string>& by);

/// The same body under the same voltages in the exact solver, from rest at its default position: what a test stand
/// would show.
[[nodiscard]] Prediction on_test_stand(const plant::BodyMechanics& body, const Excitation& excitation);

}  // namespace twintrack::analysis
