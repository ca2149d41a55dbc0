// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/sensing/acquisition.hpp"

#include "twintrack/core/exponential.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::sensing {

namespace {

/// Adding and taking away 1.5·2⁵² leaves the nearest integer, halves to even, with the same bits everywhere.
double nearest(double x) noexcept {
    constexpr double shift = 0x1.8p52;
    const double shifted = x + shift;
    return shifted - shift;
}

}  // namespace

Channel::Channel(const AcquisitionParameters& p, Time period)
    : ratiometric_(p.ratiometric), nominal_(p.nominal_reference) {
    validate(p, "acquisition");
    if (period <= Time{0})
        throw InvalidParameter("acquisition.period", "the sampling period must be positive; got " +
                                                         std::to_string(period.count()) + " microseconds");
    decay_ = p.filter_time > 0.0 ? exponential(-seconds(period) / p.filter_time) : 0.0;
    full_scale_ = static_cast<double>((1 << p.bits) - 1);
}

double Channel::sample(double volts, double reference_volts) noexcept {
    filtered_ = started_ ? volts + (filtered_ - volts) * decay_ : volts;
    started_ = true;
    const double reference = ratiometric_ ? reference_volts : nominal_;
    if (reference <= 0.0) return filtered_ > 0.0 ? 1.0 : 0.0;
    return clamp(nearest(filtered_ / reference * full_scale_), 0.0, full_scale_) / full_scale_;
}

}  // namespace twintrack::sensing
