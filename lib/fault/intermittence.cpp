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

Time Intermittence::drawn(std::int64_t period) const noexcept {
    const double share = stream_.uniform(static_cast<std::uint64_t>(period));
    return Time{static_cast<std::int64_t>(static_cast<double>(every_.count()) * share)};
}

Time Intermittence::start(std::int64_t period) const noexcept {
    if (period == known_) return start_;
    Time found = drawn(period);
    for (std::int64_t n = period; across(found) && n > 0; --n) {
        const Time before = n - 1 == known_ ? start_ : drawn(n - 1);
        if (!across(before)) break;
        found = before;
        if (n - 1 == known_) break;
    }
    known_ = period;
    return start_ = found;
}

bool Intermittence::there(Time now) const noexcept {
    if (now < from_ || now >= end_) return false;
    if (every_ == Time{0}) return true;
    const Time since = now - from_, begun = start(since / every_), phase = since % every_;
    return phase >= begun ? phase - begun < lasting_ : phase - begun + every_ < lasting_;
}

void Intermittence::changes(Time begin, Time end, std::vector<Time>& instants) const {
    if (every_ == Time{0}) return;
    const std::int64_t first = begin > from_ ? (begin - from_) / every_ : 0;
    for (std::int64_t n = first; from_ + n * every_ < end; ++n) {
        const Time zero = from_ + n * every_, begun = start(n);
        const Time stop = begun + lasting_ < every_ ? begun + lasting_ : begun + lasting_ - every_;
        for (const Time t : {zero, zero + std::min(begun, stop), zero + std::max(begun, stop)})
            if (t > begin && t < end && t < end_ && there(t) != there(t - Time{1})) instants.push_back(t);
    }
    if (end_ > begin && end_ < end && there(end_ - Time{1})) instants.push_back(end_);
}

}  // namespace twintrack::fault
