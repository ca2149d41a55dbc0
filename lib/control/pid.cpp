// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/pid.hpp"

namespace twintrack::control {

namespace {

double tracking_rate(const PidParameters& p) {
    if (p.integral == 0.0) return 0.0;
    if (p.derivative > 0.0) return sqrt(p.integral / p.derivative);
    return p.proportional > 0.0 ? p.integral / p.proportional : 0.0;
}

}  // namespace

PidCoefficients<double> pid_coefficients(const PidParameters& p, double h) {
    validate(p, "pid");
    require(h, {1e-9, 1e3}, "period", "s", "period of the controller");
    const double old = p.derivative_filter / (p.derivative_filter + h);
    return {p.proportional, h * p.integral, old,         p.derivative * (1.0 - old) / h, min(h * tracking_rate(p), 1.0),
            p.dead_band,    p.limit,        p.derivative};
}

}  // namespace twintrack::control
