// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/power.hpp"

#include "twintrack/core/error.hpp"

#include "twintrack/core/number.hpp"

namespace twintrack::control {

void check(const PowerParameters& p, const std::string& path) {
    if (p.release_voltage > p.reset_voltage) return;
    throw InvalidParameter((path.empty() ? "" : path + ".") + "release_voltage",
                           "must lie above reset_voltage (" + std::to_string(p.reset_voltage) + " V); got " +
                               std::to_string(p.release_voltage) + " V");
}

void PowerSupply::step(double volts, bool key_on) noexcept {
    booted_ = false;
    if (!p_.enabled) return;
    const bool first = buffer_ < 0.0;
    buffer_ = max(max(volts, first ? 0.0 : buffer_ - p_.buffer_slew * seconds(period_)), 0.0);
    off_ = key_on ? -period_ : off_ + period_;
    const bool wanted = key_on || off_ <= from_seconds(p_.after_run);
    if (awake_) {
        awake_ = wanted && buffer_ >= p_.reset_voltage;
        starved_ = wanted;
        waited_ = Time{-1};
        return;
    }
    const bool enough = key_on && buffer_ >= p_.release_voltage;
    waited_ = !enough ? Time{-1} : waited_ < Time{0} ? Time{0} : waited_ + period_;
    booted_ = awake_ = enough && waited_ >= from_seconds(p_.boot_time);
}

double PowerSupply::internal(double nominal) const noexcept {
    if (!p_.enabled || buffer_ < 0.0) return nominal;
    return awake_ || waited_ >= Time{0} ? min(nominal, max(buffer_ - p_.drop_out, 0.0)) : 0.0;
}

}  // namespace twintrack::control
