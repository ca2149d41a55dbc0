// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>

#include "twintrack/control/signals.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::control {

/// For how long a set of tracks has stood still: the time since any of them left a band about where it was.
class Stillness {
public:
    /// `tracks` in use, `band` [share of full scale] half width, `period` [s] of the tick.
    Stillness(std::size_t tracks, double band, double period) noexcept
        : tracks_(tracks), band_(band), period_(period) {}

    void restart() noexcept { started_ = false; }

    /// Time [s] without movement, this tick included.
    double step(const Readings& now) noexcept {
        bool moved = !started_;
        for (std::size_t k = 0; k < tracks_; ++k) moved = moved || abs(now[k] - anchor_[k]) > band_;
        if (moved) anchor_ = now;
        time_ = moved ? 0.0 : time_ + period_;
        started_ = true;
        return time_;
    }

private:
    std::size_t tracks_;
    double band_;
    double period_;
    Readings anchor_{};
    double time_ = 0.0;
    bool started_ = false;
};

/// Mean of readings, and how far they scatter about it.
class Average {
public:
    void restart() noexcept { *this = Average(); }
    void add(const Readings& now) noexcept {
        if (count_ == 0) first_ = now;
        for (std::size_t k = 0; k < now.size(); ++k) {
            const double away = now[k] - first_[k];  // about the first reading, so that the squares do not cancel
            sum_[k] += away;
            squares_[k] += away * away;
        }
        ++count_;
    }
    [[nodiscard]] int count() const noexcept { return count_; }
    /// Needs at least one reading.
    [[nodiscard]] Readings mean() const noexcept {
        Readings out = first_;
        for (std::size_t k = 0; k < out.size(); ++k) out[k] += sum_[k] / count_;
        return out;
    }
    /// Root of the mean square about the mean, largest of the tracks; needs at least one reading.
    [[nodiscard]] double rms() const noexcept {
        double most = 0.0;
        for (std::size_t k = 0; k < sum_.size(); ++k)
            most = max(most, squares_[k] / count_ - (sum_[k] / count_) * (sum_[k] / count_));
        return sqrt(max(most, 0.0));
    }

private:
    Readings first_{}, sum_{}, squares_{};
    int count_ = 0;
};

}  // namespace twintrack::control
