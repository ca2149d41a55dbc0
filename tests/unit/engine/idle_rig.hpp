// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <functional>

#include "twintrack/engine/engine.hpp"
#include "twintrack/engine/examples.hpp"
#include "twintrack/engine/idle_governor.hpp"

namespace rig {

using namespace twintrack;
using namespace twintrack::engine;

inline constexpr double rpm = 30.0 / pi;

/// What happens around the engine at a time.
struct Scene {
    bool starter = false;
    double pedal = 0.0;
    double accessory = 0.0;  ///< [N·m]
    double power = 250.0;    ///< [W]
    double coolant = 85.0;
    double pedal_area = 30e-6;  ///< [m²] that the pressed pedal asks for
    double leak = 0.0;          ///< [m²] past the throttle
    double most = 1.0;          ///< [m²] that the throttle can open
    bool announced = true;
    bool ignition = true;
};

/// Engine and governor without a throttle body: the governor's area is what the engine gets.
class IdleRig {
public:
    explicit IdleRig(const EngineExample& example, double learned = 0.0)
        : engine(example.engine, {}), governor(example.idle, milliseconds(1), learned) {}

    /// Runs until `end` [s]; `see` is called after each tick.
    void run(double end, const std::function<Scene(double)>& scene, const std::function<void(double)>& see = {}) {
        for (; tick < static_cast<long>(end * 1000.0 + 0.5); ++tick) {
            const double t = 0.001 * static_cast<double>(tick);
            const Scene s = scene(t);
            out = governor.step({engine.speed(), s.pedal, s.coolant, s.announced && s.accessory > 0.0,
                                 engine.status() == EngineStatus::cranking, engine.status() == EngineStatus::running});
            const double asked = std::max(out.area, s.pedal > 0.02 ? s.pedal_area : 0.0);
            engine.step({.area = std::min(asked, s.most) + s.leak,
                         .spark_retard = out.spark_retard,
                         .accessory_torque = s.accessory,
                         .electrical_power = s.power,
                         .coolant = s.coolant,
                         .ignition = s.ignition,
                         .starter = s.starter,
                         .fuel = out.fuel},
                        1e-3);
            if (see) see(t);
        }
    }

    [[nodiscard]] double speed_rpm() const { return engine.speed() * rpm; }

    Engine engine;
    IdleGovernor governor;
    IdleOutput out;
    long tick = 0;
};

inline Scene start(double t) { return {.starter = t > 0.2 && t < 3.0}; }

}  // namespace rig
