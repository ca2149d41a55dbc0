// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/angle_delay.hpp"

#include <algorithm>

namespace twintrack::engine {

AngleDelay::AngleDelay(double angle, double initial) noexcept : angle_(angle), least_gap_(2.0 * angle / slots) {
    points_.fill({0.0, initial});
    points_[0].angle = -2.0 * angle;
}

void AngleDelay::write(double angle, double value) noexcept {
    const double gap = at(newest_).angle - at(newest_ - 1).angle;
    if (gap >= least_gap_ || (gap == 0.0 && angle > at(newest_).angle)) ++newest_;  // no gap: a jump, kept as one
    at(newest_) = {angle, value};
    if (newest_ - cursor_ >= slots) cursor_ = newest_ - slots + 1;
}

double AngleDelay::read(double angle) noexcept {
    const double wanted = angle - angle_;
    while (cursor_ + 1 < newest_ && at(cursor_ + 1).angle <= wanted) ++cursor_;
    const Point low = at(cursor_), high = at(cursor_ + 1);
    const double gap = high.angle - low.angle;
    const double share = gap > 0.0 ? (wanted - low.angle) / gap : 1.0;
    return low.value + (high.value - low.value) * std::clamp(share, 0.0, 1.0);
}

}  // namespace twintrack::engine
