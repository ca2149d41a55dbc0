// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>
#include <vector>

#include "twintrack/control/controller.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::analysis {

/// How the blade moves at the point where the laws are differentiated.
enum class Motion {
    opening,  ///< sliding open at a given speed, bristles fully bent
    closing,  ///< sliding shut
    stuck,    ///< at rest, bristles unbent: the middle of the friction's band
};

constexpr std::array<std::pair<Motion, const char*>, 3> names(Tag<Motion>) {
    return {{{Motion::opening, "opening"}, {Motion::closing, "closing"}, {Motion::stuck, "stuck"}}};
}

struct OperatingPoint {
    double angle = 0.5;  ///< θ [rad], between the stops
    Motion motion = Motion::stuck;
    double speed = 1.0;    ///< |ω| [rad/s] when sliding
    double supply = 13.5;  ///< [V] open-circuit
};

/// dx/dt = A x + B u, y = C x + D u for small deviations; row-major.
struct LinearModel {
    std::size_t states = 0, inputs = 0, outputs = 0;
    std::vector<double> a, b, c, d;
};

/// The body about an operating point. States: current [A], angle [rad], speed [rad/s], bristle [rad] (absent with
/// simple friction). Inputs: duty, supply [V], external torque [N·m]. Outputs: current [A], angle [rad], speed [rad/s],
/// voltage at the motor [V].
///
/// At the point current, speed and bristles are stationary; sliding, the angle does not, and the model holds
/// for as long as it has not gone far. Stuck, the friction is the bristles' spring: the model holds while their
/// deflection is small against g/σ₀.
struct LinearPlant {
    plant::State<double> state;
    double duty = 0.0;
    LinearModel model;
};

/// Derivatives from the laws on dual numbers. `ideal`: the source is at the motor itself, without resistance (the
/// literature's models), and `duty` times `supply` is its voltage. Throws InvalidParameter for an angle beyond the
/// stops, a duty beyond ±1 or a current beyond the bridge's limit.
[[nodiscard]] LinearPlant linearise(const plant::BodyMechanics& body, const plant::BridgeParameters& bridge,
                                    const OperatingPoint& at, bool ideal = false);

/// x⁺ = A x + B u, y = C x + D u of the position controller from tick to tick, the blade at `opening` [share of travel]
/// under `hold` [V], the set point there and moving with `speed` [rad/s] (the feed-forward of Coulomb friction depends
/// on it); no limit is touched and the integral works (rest band and dead band, which hold it, are left out), or
/// it is held (`integral` false). States with an observer: first and second lag of the set point [share], integral [V],
/// set point before [rad], observed angle [rad], speed [rad/s] and load [V]; without: first, second, integral, error
/// before [rad], derivative [V]. Inputs: goal, opening as measured [share]. Outputs: voltage [V], set point [share].
[[nodiscard]] LinearModel linearise(const control::LoopCoefficients<double>& loop, double opening, double hold,
                                    double speed = 0.0, bool integral = true);

/// The model with its inputs held over each `period` [s]: exp([[A, B], [0, 0]] h).
/// Literature: C. Van Loan, IEEE Trans. Autom. Control 23(3), 1978 (from memory).
[[nodiscard]] LinearModel sampled(const LinearModel& model, double period);

}  // namespace twintrack::analysis
