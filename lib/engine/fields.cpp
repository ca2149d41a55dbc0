// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/describe.hpp"
#include "twintrack/engine/cylinders.hpp"
#include "twintrack/engine/idle_parameters.hpp"
#include "twintrack/engine/manifold.hpp"
#include "twintrack/engine/mixture.hpp"
#include "twintrack/engine/model.hpp"
#include "twintrack/engine/rotation.hpp"

namespace twintrack::engine {

const Description& description(Tag<MixtureParameters>) {
    using P = MixtureParameters;
    static const Description described =
        describe<P>({{&P::metered, "metered", "", "fuel follows the air meter; false: the manifold's pressure"},
                     {&P::most_correction, "most_correction", "", "largest correction by the exhaust", {0.0, 1.0}},
                     {&P::correction_time, "correction_time", "s", "time constant of the correction", {0.1, 1000.0}},
                     {&P::lean_limit, "lean_limit", "", "air ratio beyond which cycles misfire", {1.0, 3.0}},
                     {&P::misfire, "misfire", "", "air ratio from which no cycle burns", {1.0, 4.0}}});
    return described;
}

const Description& description(Tag<CylinderParameters>) {
    using P = CylinderParameters;
    static const Description described = describe<P>(
        {{&P::count, "count", "", "number of cylinders", {1, 16}},
         {&P::displacement, "displacement", "m^3", "swept volume of all cylinders", {5e-5, 0.03}},
         {&P::compression_ratio, "compression_ratio", "", "compression ratio", {4.0, 25.0}},
         {&P::filling_constant, "filling_constant", "", "filling at standstill", {0.1, 1.5}},
         {&P::filling_linear, "filling_linear", "s/rad", "filling by speed", {-0.01, 0.01}},
         {&P::filling_quadratic, "filling_quadratic", "s^2/rad^2", "filling by speed squared", {-1e-5, 1e-5}},
         {&P::air_share, "air_share", "", "share of air in what is drawn in", {0.5, 1.0}},
         {&P::efficiency_constant, "efficiency_constant", "", "indicated efficiency", {0.05, 0.6}},
         {&P::efficiency_linear, "efficiency_linear", "s/rad", "efficiency by speed", {-0.01, 0.01}},
         {&P::spark_loss, "spark_loss", "1/rad^2", "efficiency lost by spark retard", {0.0, 10.0}},
         {&P::delay_angle, "delay_angle", "rad", "induction to power", {0.1, 30.0}},
         {&P::air_fuel_ratio, "air_fuel_ratio", "", "mass of air to fuel", {5.0, 40.0}},
         {&P::heating_value, "heating_value", "J/kg", "lower heating value", {1e7, 1.3e8}}});
    return described;
}

const Description& description(Tag<IdleAirParameters>) {
    using P = IdleAirParameters;
    static const Description described =
        describe<P>({{&P::proportional, "proportional", "m^2*s/rad", "air by speed error", {0.0, 1e-5}},
                     {&P::integral, "integral", "m^2/rad", "air by integrated speed error", {0.0, 1e-5}},
                     {&P::least, "least", "m^2", "smallest opening asked for", {0.0, 1e-3}},
                     {&P::most, "most", "m^2", "largest opening asked for", {0.0, 1e-2}},
                     {&P::start_area, "start_area", "m^2", "opening while the starter turns", {0.0, 1e-3}},
                     {&P::accessory_area, "accessory_area", "m^2", "opening for an announced load", {0.0, 1e-3}},
                     {&P::dashpot_area, "dashpot_area", "m^2", "added when the pedal is let go", {0.0, 1e-3}},
                     {&P::dashpot_time, "dashpot_time", "s", "time in which that fades", {1e-3, 20.0}},
                     {&P::learn_time, "learn_time", "s", "time in which idle air is learned", {0.1, 1e4}},
                     {&P::learn_band, "learn_band", "rad/s", "speed error within which it learns", {0.0, 50.0}},
                     {&P::learn_limit, "learn_limit", "m^2", "most that is learned, either way", {0.0, 1e-3}}});
    return described;
}

const Description& description(Tag<IdleSparkParameters>) {
    using P = IdleSparkParameters;
    static const Description described =
        describe<P>({{&P::base, "base", "rad", "spark retard at the target", {0.0, 1.0}},
                     {&P::gain, "gain", "s", "spark retard by speed error", {0.0, 1.0}},
                     {&P::most, "most", "rad", "largest spark retard", {0.0, 1.2}},
                     {&P::start, "start", "rad", "spark retard while starting", {0.0, 1.0}},
                     {&P::blend_time, "blend_time", "s", "change to driving", {0.0, 5.0}}});
    return described;
}

const Description& description(Tag<IdleEntryParameters>) {
    using P = IdleEntryParameters;
    static const Description described =
        describe<P>({{&P::pedal_released, "pedal_released", "", "pedal travel of a foot off", {0.0, 0.5}},
                     {&P::pedal_pressed, "pedal_pressed", "", "pedal travel of a foot on", {0.0, 0.5}},
                     {&P::entry_band, "entry_band", "rad/s", "speed excess of immediate entry", {0.0, 500.0}},
                     {&P::entry_time, "entry_time", "s", "entry at any speed", {0.0, 60.0}},
                     {&P::overrun_cut, "overrun_cut", "", "fuel cut on the overrun"},
                     {&P::cut_above, "cut_above", "rad/s", "speed excess that cuts", {1.0, 1000.0}},
                     {&P::resume_above, "resume_above", "rad/s", "speed excess that resumes", {0.0, 1000.0}},
                     {&P::cut_delay, "cut_delay", "s", "foot off before the cut", {0.0, 60.0}}});
    return described;
}

const Description& description(Tag<IdleParameters>) {
    using P = IdleParameters;
    static const Description described = describe<P>({{&P::target, "target", "", "idle speed by coolant"},
                                                      {&P::air, "air", "", "air by speed"},
                                                      {&P::spark, "spark", "", "spark by speed"},
                                                      {&P::entry, "entry", "", "entry, exit and overrun"}});
    return described;
}

const Description& description(Tag<ManifoldParameters>) {
    using P = ManifoldParameters;
    static const Description described =
        describe<P>({{&P::kind, "kind", "", "thermal model of the manifold"},
                     {&P::volume, "volume", "m^3", "manifold volume", {1e-5, 0.1}},
                     {&P::temperature, "temperature", "K", "gas (isothermal) or wall temperature", {200.0, 450.0}},
                     {&P::wall_conductance, "wall_conductance", "W/K", "heat flow from the wall", {0.0, 1e3}}});
    return described;
}

const Description& description(Tag<EngineParameters>) {
    using P = EngineParameters;
    static const Description described = describe<P>({{&P::manifold, "manifold", "", "intake manifold"},
                                                      {&P::cylinders, "cylinders", "", "cylinders and combustion"},
                                                      {&P::rotation, "rotation", "", "crankshaft, friction, loads"}});
    return described;
}

const Description& description(Tag<RotationParameters>) {
    using P = RotationParameters;
    static const Description described = describe<P>(
        {{&P::inertia, "inertia", "kg*m^2", "inertia at the crank", {1e-3, 20.0}},
         {&P::friction_constant, "friction_constant", "Pa", "friction pressure", {0.0, 1e6}},
         {&P::friction_linear, "friction_linear", "Pa*s/rad", "friction by speed", {0.0, 1e4}},
         {&P::friction_quadratic, "friction_quadratic", "Pa*s^2/rad^2", "friction by speed squared", {0.0, 100.0}},
         {&P::cold_friction, "cold_friction", "", "added friction per 100 K below warm", {0.0, 10.0}},
         {&P::warm_temperature, "warm_temperature", "degC", "coolant when warm", {20.0, 150.0}},
         {&P::generator_efficiency, "generator_efficiency", "", "generator efficiency", {0.1, 1.0}},
         {&P::generator_speed, "generator_speed", "rad/s", "speed of full generator power", {1.0, 500.0}},
         {&P::starter_torque, "starter_torque", "N*m", "starter at standstill", {0.0, 5e3}},
         {&P::starter_speed, "starter_speed", "rad/s", "speed the starter reaches", {1.0, 200.0}},
         {&P::release_speed, "release_speed", "rad/s", "the starter lets go", {1.0, 300.0}},
         {&P::stall_speed, "stall_speed", "rad/s", "below it nothing burns", {0.0, 200.0}}});
    return described;
}

const Description& description(Tag<IdleTargetParameters>) {
    using P = IdleTargetParameters;
    static const Description described =
        describe<P>({{&P::coolant, "coolant", "degC", "knots of coolant temperature", {-60.0, 200.0}},
                     {&P::speed, "speed", "rad/s", "idle speed at the knots", {10.0, 400.0}},
                     {&P::area, "area", "m^2", "throttle opening to begin with", {0.0, 1e-3}},
                     {&P::descent_time, "descent_time", "s", "time to let the speed down", {0.0, 20.0}}});
    return described;
}

}  // namespace twintrack::engine
