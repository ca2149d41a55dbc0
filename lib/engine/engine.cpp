// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/engine.hpp"

namespace twintrack::engine {

Engine::Engine(const EngineParameters& p, const plant::Air& air)
    : p_(p),
      c_(coefficients(p)),
      air_(air),
      x_{air.pressure, p.manifold.temperature, 0.0, 0.0},
      drive_{0.0, {air.pressure, air.temperature}, 0.0, 1.0, 1.0, 0.0, 0.0},
      fuel_(p.cylinders.delay_angle, 0.0),
      spark_(2.0 * pi / p.cylinders.count, 1.0) {
    require(air.pressure, {1e3, 1e6}, "air.pressure", "Pa", "pressure of the outside air");
    require(air.temperature, {150.0, 400.0}, "air.temperature", "K", "temperature of the outside air");
}

void Engine::change_status(const Input& in) noexcept {
    const RotationParameters& r = p_.rotation;
    const bool wanted = in.ignition && in.starter;
    switch (status_) {
        case EngineStatus::standing:
        case EngineStatus::stalled:
            if (wanted) status_ = EngineStatus::cranking;
            break;
        case EngineStatus::cranking:
            if (x_.speed >= r.release_speed)
                status_ = EngineStatus::running;
            else if (!wanted)
                status_ = EngineStatus::standing;
            break;
        case EngineStatus::running:
            if (x_.speed < r.stall_speed) status_ = in.ignition ? EngineStatus::stalled : EngineStatus::standing;
            break;
    }
}

void Engine::step(const Input& in, double span) noexcept {
    change_status(in);
    drive_.area = in.area;
    drive_.leak = in.leak_area;
    const Flows<double> f = flows(c_, drive_, x_);
    const double openings = in.area + in.leak_area;
    flow_ = openings > 0.0 ? f.in * (in.area / openings) : 0.0;
    const bool burns = in.ignition && (status_ == EngineStatus::running || status_ == EngineStatus::cranking);
    fuel_.write(x_.angle, burns && in.fuel ? f.charge * c_.cylinders.fuel_per_air : 0.0);
    spark_.write(x_.angle, spark_efficiency(c_.cylinders, in.spark_retard));
    const double middle = x_.angle + 0.5 * span * x_.speed;
    drive_.fuel = burns ? fuel_.read(middle) : 0.0;
    drive_.spark = spark_.read(middle);
    drive_.cold = cold_factor(p_.rotation, in.coolant);
    drive_.accessory_torque = in.accessory_torque;
    drive_.electrical_power = in.electrical_power;
    drive_.starter = status_ == EngineStatus::cranking;
    x_ = advance(c_, drive_, x_, f, span);
    x_.speed = max(x_.speed, 0.0);
}

}  // namespace twintrack::engine
