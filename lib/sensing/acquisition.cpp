// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/sensing/acquisition.hpp"

#include "twintrack/core/error.hpp"
#include "twintrack/core/exponential.hpp"

namespace twintrack::sensing {

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
    return code_share(volts, ratiometric_ ? reference_volts : nominal_, full_scale_);
}

}  // namespace twintrack::sensing
