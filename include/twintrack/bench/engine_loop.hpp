// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <span>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/control/signals.hpp"
#include "twintrack/core/record.hpp"
#include "twintrack/core/table.hpp"
#include "twintrack/engine/engine.hpp"
#include "twintrack/engine/idle_governor.hpp"
#include "twintrack/engine/speed_limit.hpp"
#include "twintrack/plant/air_path.hpp"

namespace twintrack::bench {

/// The engine of a bench from tick to tick, and the governor of its idle air.
///
///     idle opening  = A⁻¹(governor's area)        A: effective area over blade angle of the body as it was made
///     area of the tick = (A(θ at its start) + A(θ at its end))/2
///     fuel = governor ∧ speed limit of the reaction ∧ fuel permission of the reaction
class EngineLoop {
public:
    static constexpr double still = 1.0;  ///< [rad/s] slower than which the engine counts as still

    EngineLoop(const EngineSetup& p, const sensing::ThrottleBodyParameters& body, Time period);

    /// Steps the governor, and fills in the controller's inputs from the engine. `pedal` is the controller's
    /// pedal position at the last tick.
    void govern(double pedal, control::Input& in);

    /// The controller is in reset: neither fuel nor spark.
    void sleep(Time now) noexcept;
    /// It runs again; its governor begins anew, with the idle air it had learned before.
    void reboot();

    /// Torque of the air on the blade [N·m].
    [[nodiscard]] double torque(double angle) const noexcept;

    /// What the reaction of this tick leaves of the fuel.
    void obey(const monitor::Action& action);

    /// Integrates over the tick that took the blade from `before` to `after` [rad]. `leak` [m²] of a vacuum leak.
    void advance(double before, double after, double leak);

    /// Adds the values of `signals()` at the tick.
    void append(std::vector<double>& row) const;
    [[nodiscard]] static std::span<const Signal> signals();

private:
    struct Values;
    [[nodiscard]] bool loaded() const noexcept;

    EngineSetup p_;
    double period_;
    int substeps_;
    plant::AirPathCoefficients<double> path_;
    Table opening_;  ///< [share of travel] by effective area [m²]
    engine::Engine engine_;
    engine::Mixture mixture_;
    engine::IdleGovernor governor_;
    engine::SpeedLimit limit_;
    engine::IdleOutput asked_;
    Time now_{};
    bool key_ = true, started_ = false, fuel_ = true, awake_ = true;
};

/// The pedal map of a bench with an engine: the flat start of the map stands for idle without one and is left to the
/// governor.
[[nodiscard]] control::PedalMapParameters left_to_governor(control::PedalMapParameters map);

/// What the air flow check uses of the body: the choked flow of its geometry under the air outside.
void add_choked_flow(monitor::AirFlowParameters& p, const sensing::ThrottleBodyParameters& body, const plant::Air& air);

/// What a bench with an engine changes of controller and monitor; nothing without one.
[[nodiscard]] BenchParameters with_engine(BenchParameters p);

/// Opening [share of travel] by effective area [m²] of the body as it was made.
[[nodiscard]] Table opening_table(const plant::AirPathCoefficients<double>& path, const plant::StopParameters& stops);

/// Steps that the engine is integrated in per tick of `period`.
[[nodiscard]] int engine_steps(Time period);

/// The body's air path with its zero counted from the closed stop.
[[nodiscard]] plant::AirPathCoefficients<double> air_path_of(const sensing::ThrottleBodyParameters& body);

}  // namespace twintrack::bench
