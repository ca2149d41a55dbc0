// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/engine/engine_step.hpp"
#include "twintrack/plant/atmosphere.hpp"

namespace twintrack::engine {

enum class EngineStatus { standing, cranking, running, stalled };

constexpr std::array<std::pair<EngineStatus, const char*>, 4> names(Tag<EngineStatus>) {
    return {{{EngineStatus::standing, "standing"},
             {EngineStatus::cranking, "cranking"},
             {EngineStatus::running, "running"},
             {EngineStatus::stalled, "stalled"}}};
}

/// The engine's inputs for one tick.
struct Input {
    double area = 0.0;              ///< effective opening of the throttle [m²], mean over the tick
    double leak_area = 0.0;         ///< A_v [m²] effective, of a vacuum leak
    double spark_retard = 0.0;      ///< ζ [rad] from best torque
    double accessory_torque = 0.0;  ///< M_a [N·m] at the crank
    double electrical_power = 0.0;  ///< P [W]
    double coolant = 85.0;          ///< ϑ [°C]
    bool ignition = true;           ///< key on
    bool starter = false;           ///< key at start
    bool fuel = true;               ///< false: cut
    double mixture = 1.0;           ///< fuel that burns, relative to that of all the air (mixture.hpp)
};

/// The engine from tick to tick: the equations of model.hpp, the delays from intake to torque and from spark to torque,
/// and what starts and stalls it.
///
///     standing → cranking (starter) → running (ω ≥ release_speed) → stalled (ω < stall_speed; standing if key is off)
///
/// Fuel is in proportion to the air drawn in and burns Δ later; when the engine has stalled it gets none until the
/// starter turns it again. The speed is never below zero. A step costs two evaluations of the model.
class Engine {
public:
    /// At rest, the manifold full of `air`. Throws InvalidParameter.
    Engine(const EngineParameters& p, const plant::Air& air);

    /// Advances by `span` [s] (1 ms is usual; second order in it). `in` must be finite.
    void step(const Input& in, double span) noexcept;

    [[nodiscard]] const State<double>& state() const noexcept { return s_.x; }
    [[nodiscard]] double speed() const noexcept { return s_.x.speed; }  ///< ω [rad/s]
    [[nodiscard]] EngineStatus status() const noexcept { return static_cast<EngineStatus>(s_.status); }
    [[nodiscard]] const Coefficients<double>& model() const noexcept { return c_; }
    [[nodiscard]] const plant::Air& air() const noexcept { return air_; }

    /// What acted during the last step, for records and balances.
    [[nodiscard]] const Drive<double>& drive() const noexcept { return drive_; }

    /// Air through the throttle at the beginning of the last step [kg/s].
    [[nodiscard]] double flow() const noexcept { return s_.flow; }

    /// Flows and torques at the present state under the last drive.
    [[nodiscard]] Flows<double> present_flows() const noexcept { return flows(c_, drive_, s_.x); }
    [[nodiscard]] Torques<double> present_torques() const noexcept { return torques(c_, drive_, s_.x); }

private:
    EngineParameters p_;
    Coefficients<double> c_;
    plant::Air air_;
    StepCoefficients<double> turn_;
    DelayRing fuel_;   ///< [kg/rad]
    DelayRing spark_;  ///< efficiency
    EngineState<double> s_;
    Drive<double> drive_;
};

}  // namespace twintrack::engine
