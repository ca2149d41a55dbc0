// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/examples.hpp"

namespace twintrack::engine {

EngineExample small_four() { return {}; }

EngineExample large_eight() {
    EngineExample e;
    e.engine.manifold = {.volume = 7.0e-3, .temperature = 325.0};
    e.engine.cylinders = {.count = 8, .displacement = 4.8e-3, .compression_ratio = 9.4, .filling_constant = 0.88};
    e.engine.rotation.inertia = 0.30;
    e.engine.rotation.friction_constant = 5.5e4;
    e.engine.rotation.starter_torque = 220.0;
    e.air_path = {.bore = 0.075, .shaft = 0.010, .leak_area = 8.0e-6};
    e.idle.target.speed = {115.0, 100.0, 94.2, 88.0, 80.0, 73.0, 67.0, 62.8};
    e.idle.target.area = {48e-6, 34e-6, 30e-6, 27e-6, 24e-6, 21e-6, 18.5e-6, 17e-6};
    e.idle.air = {.proportional = 1.5e-7,
                  .integral = 3.6e-7,
                  .least = 6.0e-6,
                  .most = 100e-6,
                  .start_area = 30e-6,
                  .accessory_area = 9e-6,
                  .dashpot_area = 14e-6,
                  .learn_limit = 9e-6};
    return e;
}

EngineParameters course_five() {
    EngineParameters e;
    e.manifold = {.volume = 5.562e-3, .temperature = 298.0};
    e.cylinders = {.count = 5,
                   .displacement = 2.48e-3,
                   .compression_ratio = 11.0,
                   .filling_constant = 0.6823,
                   .filling_linear = 8.605e-4,
                   .filling_quadratic = 0.0,
                   .air_share = 1.0 / (1.0 + 1.0 / 14.7),
                   .efficiency_constant = 0.3068,
                   .efficiency_linear = -3.02e-4,
                   .spark_loss = 2.3345e-4 * (180.0 / pi) * (180.0 / pi)};
    e.rotation.inertia = 0.205;
    e.rotation.friction_constant = 6.78 * 4.0 * pi / 2.48e-3;  // 6.78 N·m at any speed
    e.rotation.friction_linear = e.rotation.friction_quadratic = 0.0;
    e.rotation.generator_efficiency = 0.7;
    return e;
}

}  // namespace twintrack::engine
