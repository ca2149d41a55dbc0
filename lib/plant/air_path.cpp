// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/air_path.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::plant {

void check(const AirPathParameters& p, const std::string& path) {
    if (p.shaft >= 0.8 * p.bore)
        throw InvalidParameter(dotted(path, "shaft"), "the shaft must be thinner than 0.8 of the bore");
    if (p.discharge_open < p.discharge_closed)
        throw InvalidParameter(dotted(path, "discharge_open"),
                               "the discharge coefficient of the open bore must not be below that of the closing one");
}

AirPathCoefficients<double> air_path_coefficients(const AirPathParameters& p) {
    validate(p, "air_path");
    const double a = p.shaft / p.bore;
    const double term = a * sqrt(1.0 - a * a) + arcsine(a);
    const double bore = 0.25 * pi * p.bore * p.bore;
    const double widest = bore * (1.0 - 2.0 / pi * term);
    return {p.seat_angle,
            p.blade_zero,
            cosine(p.seat_angle),
            a,
            term,
            bore,
            p.discharge_closed,
            (p.discharge_open - p.discharge_closed) / widest,
            p.leak_area,
            p.torque_factor * p.bore * p.bore * p.bore};
}

double angle_for_area(const AirPathCoefficients<double>& c, double wanted) {
    double low = c.zero, high = c.zero + 0.5 * pi - c.seat;
    for (int k = 0; k < 60; ++k) {  // the area never falls with the angle
        const double middle = 0.5 * (low + high);
        (effective_area(c, middle) < wanted ? low : high) = middle;
    }
    return high;
}

}  // namespace twintrack::plant
