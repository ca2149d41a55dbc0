// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/core/described.hpp"

namespace twintrack::engine {

/// Fuel by an air meter ahead of the throttle. Air that a leak lets in past it is not metered and gets no fuel:
///
///     s  = A / (A + A_v)                                      share of the air that is metered
///     m  = s (1 + c),   λ = 1/m                               mixture; m relative to the nominal one
///     ċ  = (1 − m)/T,   |c| ≤ c_most                          correction by the exhaust, while the engine runs
///     b  = min(m, 1) · clamp((λ_m − λ)/(λ_m − λ_l), 0, 1)     burnt fuel, relative to that of all the air
///
/// A lean mixture burns all of its fuel, and beyond the lean limit λ_l ever fewer cycles burn, none from λ_m on; of a
/// rich one no more burns than there is air for. Without a leak m = b = 1 exactly. Not metered (by manifold pressure):
/// all air gets its fuel.
///
/// Common practice, no source: that the correction acts within about ± 25 % and in some seconds. The lean limit of
/// spark-ignition engines near λ = 1.4, misfire of all cycles a little beyond: J. B. Heywood, Internal Combustion
/// Engine Fundamentals, 1988, ch. 9 (from memory).
struct MixtureParameters {
    bool metered = false;           ///< fuel follows the air meter; false: the manifold's pressure
    double most_correction = 0.25;  ///< c_most
    double correction_time = 10.0;  ///< T [s]
    double lean_limit = 1.4;        ///< λ_l
    double misfire = 1.8;           ///< λ_m
};

[[nodiscard]] const Description& description(Tag<MixtureParameters>);

/// The lean limit lies below the air ratio of complete misfire.
void check(const MixtureParameters& p, const std::string& path);

class Mixture {
public:
    explicit Mixture(const MixtureParameters& p) : p_(p) {}

    /// b of a tick of `span` [s]: `area` of the throttle, `leak_area` [m²]; `runs`: the engine runs by itself.
    double step(double area, double leak_area, bool runs, double span) noexcept;

    [[nodiscard]] double lambda() const noexcept { return lambda_; }          ///< λ of the last tick
    [[nodiscard]] double correction() const noexcept { return correction_; }  ///< c

private:
    MixtureParameters p_;
    double correction_ = 0.0, lambda_ = 1.0;
};

}  // namespace twintrack::engine
