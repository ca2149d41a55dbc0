// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstddef>
#include <vector>

#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/signals.hpp"

namespace twintrack::control {

/// Gathers, while an assembly moves, what the further tracks read at each reading of the first one, and makes curves.
///
/// Readings are summed in bins of the first track's reading; a curve runs through the bins' means, in straight lines.
class CurveCollector {
public:
    static constexpr std::size_t bins = 512;  ///< over full scale

    void restart() noexcept { *this = CurveCollector(); }
    void add(const Readings& now) noexcept;

    /// One curve per track between the readings at the two ends; the first track's is a straight line.
    [[nodiscard]] std::vector<LearnedTrack> curves(const Readings& start, const Readings& end,
                                                   std::size_t tracks) const;

    /// The widest stretch of the first track's travel without a reading, as a share of it.
    [[nodiscard]] double widest_gap(double start, double end) const noexcept;

private:
    struct Bin {
        Readings sum{};
        int count = 0;
    };
    std::array<Bin, bins> bins_{};
};

}  // namespace twintrack::control
