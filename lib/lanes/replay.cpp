// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/lanes/replay.hpp"

#include "twintrack/core/error.hpp"
#include "twintrack/lanes/body_step.hpp"
#include "twintrack/lanes/run.hpp"

namespace twintrack::lanes {

BodyCoefficients<double> body_coefficients(const plant::Coefficients<double>& c) {
    const plant::FrictionCoefficients<double>& f = c.friction;
    return {c.motor,     c.springs, f.coulomb,    f.excess, f.inverse_stribeck, f.viscous,
            f.stiffness, f.damping, f.load_share, c.stops,  c.inverse_inertia};
}

std::vector<double> replay(const plant::BodyMechanics& body, const plant::BridgeParameters& bridge, double supply,
                           std::span<const DutySample> played, Time period, double substep) {
    validate(body, "body");
    validate(bridge, "bridge");
    require(supply, {0.0, 36.0}, "supply", "V", "battery voltage");
    require(seconds(period), {1e-4, 0.1}, "period", "s", "period of the controller");
    require(substep, substep_range, "substep", "s", "longest step of the body");
    if (body.friction.kind != plant::FrictionKind::bristle)
        throw InvalidParameter("body.friction.kind", "lanes know bristle friction only");
    const int steps = substeps_of(period, substep);
    const double h = seconds(period) / steps;
    const BodyCoefficients<double> c = body_coefficients(plant::coefficients(body));
    BodyState<double> x{{0.0, plant::default_angle(body), 0.0, 0.0}, 0.0};
    std::vector<double> angles;
    angles.reserve(played.size());
    for (const DutySample& tick : played) {
        angles.push_back(x.x.angle);
        const plant::Terminal<double> t = plant::terminal(bridge, tick.mode, tick.duty, supply);
        Tick<double> now{};
        MotorSource<double>& source = now.source;
        source.voltage = t.voltage, source.resistance = t.resistance, source.limit = t.current_limit;
        source.open = tick.mode == plant::BridgeMode::high_impedance ? 1.0 : 0.0;
        prepare(c, now, h);
        for (int k = 0; k < steps; ++k) step(c, now, x);
    }
    return angles;
}

}  // namespace twintrack::lanes
