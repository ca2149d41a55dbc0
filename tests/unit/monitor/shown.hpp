// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/monitor/monitor.hpp"

/// A monitor that is shown readings, tick by tick.
namespace support {

using namespace twintrack;
using namespace twintrack::monitor;
using control::straight_track;

constexpr Time tick = milliseconds(1);

inline control::LearnedRange learned(std::size_t tracks = 2) {
    control::LearnedRange r;
    r.pedal = {straight_track(0.15, 0.75), straight_track(0.10, 0.40)};
    r.throttle = {straight_track(0.1, 0.9), straight_track(0.9, 0.1)};
    if (tracks == 3) r.pedal.push_back(straight_track(0.2, 0.8));
    r.default_opening = 0.07;
    return r;
}

/// Readings of healthy assemblies with the pedal at `pedal` and the blade at `blade`.
inline control::Input healthy(const control::LearnedRange& r, double pedal = 0.0, double blade = 0.07) {
    control::Input in;
    in.supply = 13.5;
    for (std::size_t k = 0; k < r.pedal.size(); ++k) in.pedal[k] = r.pedal[k].start() + pedal * r.pedal[k].span();
    for (std::size_t k = 0; k < r.throttle.size(); ++k)
        in.throttle[k] = r.throttle[k].start() + blade * r.throttle[k].span();
    return in;
}

inline Monitor make(const control::LearnedRange& r, const MonitorParameters& p = {}) {
    return {p, r, r.pedal.size(), r.throttle.size(), tick};
}

/// Shows `in` for `ticks` ticks from `from` [ms] on; returns the tick [ms] of the first motor_off, −1 if there is none.
inline int show(Monitor& m, control::Input in, int ticks, const control::Command& last = {}, int from = 0) {
    for (int n = 0; n < ticks; ++n) {
        in.time = milliseconds(from + n);
        if (m.step(in, last) == Reaction::motor_off) return from + n;
    }
    return -1;
}

inline std::string codes(const Monitor& m) {
    std::string text;
    for (const TroubleCode& c : m.codes()) text += (text.empty() ? "" : " ") + c.text();
    return text;
}

}  // namespace support
