// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>

#include "twintrack/fault/wiring_faults.hpp"

namespace twintrack::fault {

Intermittence::Intermittence(const Fault& f, std::uint32_t seed, std::uint32_t case_number, std::uint32_t channel)
    : from_(f.from),
      end_(f.to.value_or(Time::max())),
      every_(f.every),
      lasting_(f.lasting),
      stream_(seed, case_number, channel) {}

/// Where in its period the fault begins: each of the whole microseconds that leave room for it, equally likely.
Time Intermittence::opening(std::int64_t period) const noexcept {
    const double room = static_cast<double>((every_ - lasting_).count() + 1);
    const double start = room * stream_.uniform(static_cast<std::uint64_t>(period));
    return from_ + period * every_ + Time{static_cast<std::int64_t>(start)};
}

bool Intermittence::there(Time now) const noexcept {
    if (now < from_ || now >= end_) return false;
    if (every_ == Time{0}) return true;
    const Time start = opening((now - from_) / every_);
    return now >= start && now < start + lasting_;
}

void Intermittence::changes(Time begin, Time end, std::vector<Time>& instants) const {
    if (every_ == Time{0}) return;
    const std::int64_t first = begin > from_ ? (begin - from_) / every_ : 0;
    for (std::int64_t n = first; from_ + n * every_ < end; ++n) {
        const Time start = opening(n);
        for (const Time t : {start, std::min(start + lasting_, end_)})
            if (t > begin && t < end && t <= end_) instants.push_back(t);
    }
}

}  // namespace twintrack::fault
