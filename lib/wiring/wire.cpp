// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/wire.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "twintrack/core/error.hpp"

namespace twintrack::wiring {

namespace {

struct Cable {
    double section_mm2;
    double milliohms_per_metre;  ///< at most, at 20 °C
};

constexpr std::array<Cable, 9> cables = {{{0.22, 84.4},
                                          {0.35, 54.4},
                                          {0.5, 37.1},
                                          {0.75, 24.7},
                                          {1.0, 18.5},
                                          {1.5, 12.7},
                                          {2.5, 7.60},
                                          {4.0, 4.71},
                                          {6.0, 3.14}}};

double cable_or_throw(double section_mm2, const std::string& where) {
    for (const Cable& c : cables)
        if (std::fabs(c.section_mm2 - section_mm2) < 1e-9) return 1e-3 * c.milliohms_per_metre;
    throw InvalidParameter(where, "is not a section of the cable list: 0.22, 0.35, 0.5, 0.75, 1, 1.5, 2.5, 4, 6 mm²");
}

}  // namespace

double copper_factor(double celsius) {
    require(celsius, {-100.0, 500.0}, "temperature", "degC", "temperature of the copper");
    return 1.0 + 0.00393 * (celsius - 20.0);
}

double awg_diameter(int gauge) {
    require(gauge, {0.0, 40.0}, "gauge", "", "American wire gauge");
    return 0.127e-3 * std::pow(92.0, (36.0 - gauge) / 39.0);
}

double awg_resistance(int gauge) {
    const double d = awg_diameter(gauge);
    return copper_resistivity / (std::numbers::pi * d * d / 4.0);
}

double cable_resistance(double section_mm2) { return cable_or_throw(section_mm2, "section_mm2"); }

void check(const WireParameters& p, const std::string& path) {
    static_cast<void>(cable_or_throw(p.section_mm2, dotted(path, "section_mm2")));
}

double resistance(const WireParameters& p) {
    validate(p, "wire");
    return p.length * cable_resistance(p.section_mm2) * copper_factor(p.temperature) +
           p.contacts * p.contact_resistance + p.splices * p.splice_resistance;
}

}  // namespace twintrack::wiring
