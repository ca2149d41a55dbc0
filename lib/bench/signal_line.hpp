// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>

#include "twintrack/core/exponential.hpp"
#include "twintrack/sensing/assembly.hpp"
#include "twintrack/wiring/connection.hpp"

namespace twintrack::bench {

/// A box between the pedal and its wiring that delays the signals:
///
///     y⁺ = y + (1 − e^(−h/τ)) (x − y)       x [share of supply] what the track gives, y what leaves the box
///
/// τ = 0 passes the signal on, bit for bit; a delay that begins starts from what left the box last.
class SignalLine {
public:
    explicit SignalLine(double period) noexcept : period_(period) {}

    /// Delays `signals` by `lag` [s] each, once a tick.
    void pass(const std::array<double, sensing::max_tracks>& lag, wiring::TrackValues& signals) noexcept {
        for (std::size_t k = 0; k < lag.size(); ++k) {
            if (started_ && lag[k] > 0.0)
                signals[k] = left_[k] + (1.0 - exponential(-period_ / lag[k])) * (signals[k] - left_[k]);
            left_[k] = signals[k];
        }
        started_ = true;
    }

private:
    double period_;  ///< h [s]
    wiring::TrackValues left_{};
    bool started_ = false;
};

}  // namespace twintrack::bench
