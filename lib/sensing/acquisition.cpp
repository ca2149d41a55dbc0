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
    : filter_time_(p.filter_time), ratiometric_(p.ratiometric), nominal_(p.nominal_reference) {
    validate(p, "acquisition");
    if (period <= Time{0})
        throw InvalidParameter("acquisition.period", "the sampling period must be positive; got " +
                                                         std::to_string(period.count()) + " microseconds");
    decay_ = p.filter_time > 0.0 ? exponential(-seconds(period) / p.filter_time) : 0.0;
    full_scale_ = static_cast<double>((1 << p.bits) - 1);
}

void Channel::hold(double volts, Time span) noexcept {
    settle(volts, filter_time_ > 0.0 ? exponential(-seconds(span) / filter_time_) : 0.0);
}

double Channel::read(double reference_volts, double disturbance) const noexcept {
    const double volts = filtered_ + disturbance;
    const double reference = ratiometric_ ? reference_volts : nominal_;
    if (reference <= 0.0) return volts > 0.0 ? 1.0 : 0.0;
    return clamp(nearest(volts / reference * full_scale_), 0.0, full_scale_) / full_scale_;
}

}  // namespace twintrack::sensing
