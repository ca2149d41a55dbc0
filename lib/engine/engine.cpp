// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/engine.hpp"

namespace twintrack::engine {

StepCoefficients<double> step_coefficients(const EngineParameters& p) {
    const double fuel = p.cylinders.delay_angle, spark = 2.0 * pi / p.cylinders.count;
    return {p.rotation.release_speed, p.rotation.stall_speed, fuel, spark, least_gap(fuel), least_gap(spark)};
}

Engine::Engine(const EngineParameters& p, const plant::Air& air)
    : p_(p),
      c_(coefficients(p)),
      air_(air),
      turn_(step_coefficients(p)),
      s_(at_rest(p.manifold, turn_, air, fuel_, spark_)),
      drive_{0.0, {air.pressure, air.temperature}, 0.0, 1.0, 1.0, 0.0, 0.0} {
    require(air.pressure, {1e3, 1e6}, "air.pressure", "Pa", "pressure of the outside air");
    require(air.temperature, {150.0, 400.0}, "air.temperature", "K", "temperature of the outside air");
}

void Engine::step(const Input& in, double span) noexcept {
    const auto flag = [](bool set) { return set ? 1.0 : 0.0; };
    const EngineOrders<double> orders{in.area,
                                      in.leak_area,
                                      in.spark_retard,
                                      in.accessory_torque,
                                      in.electrical_power,
                                      cold_factor(p_.rotation, in.coolant),
                                      flag(in.ignition),
                                      flag(in.starter),
                                      in.fuel ? in.mixture : 0.0};
    drive_ = engine::step(c_, turn_, drive_.air, s_, fuel_, spark_, orders, span);
}

}  // namespace twintrack::engine
