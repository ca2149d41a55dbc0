// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/angle_delay.hpp"

#include <algorithm>
#include <cmath>

namespace twintrack::engine {

AngleDelay::AngleDelay(double angle, double initial) noexcept
    : inverse_pace_(static_cast<double>(parts) / angle), last_value_(initial) {
    stored_.fill(initial);
}

void AngleDelay::write(double angle, double value) noexcept {
    const double position = angle * inverse_pace_;
    const auto reached = static_cast<std::int64_t>(std::floor(position));
    const double width = position - last_position_;
    for (std::int64_t k = std::max(newest_ + 1, reached - slots + 1); k <= reached; ++k) {
        const double share = (static_cast<double>(k) - last_position_) / width;
        stored_[slot(k)] = last_value_ + (value - last_value_) * share;
    }
    newest_ = std::max(newest_, reached);
    last_position_ = position;
    last_value_ = value;
}

double AngleDelay::read(double angle) const noexcept {
    const double position = angle * inverse_pace_ - static_cast<double>(parts);
    const double below = std::floor(position);
    const auto k = static_cast<std::int64_t>(below);
    const double low = stored_[slot(std::min(k, newest_))];
    const double high = stored_[slot(std::min(k + 1, newest_))];
    return low + (high - low) * (position - below);
}

}  // namespace twintrack::engine
