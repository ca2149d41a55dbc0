// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "twintrack/core/described.hpp"
#include "twintrack/core/time.hpp"

namespace twintrack::monitor {

/// A second, independent watcher: the function monitoring of the published three-level concept (structure from memory).
/// It shares nothing with controller and monitor but the converter: raw counts and the drive current come in, integer
/// arithmetic on ends of its own, thresholds of its own; it can take the motor's power away, and nothing else.
///
///     x_k = (n_k − n_closed,k) / (n_open,k − n_closed,k) in ‰                  n raw counts of one track
///     pedal  P = the smaller of its two x,  blade  B = the larger of its two
///     allowed = the largest of map(P) over the last `lag`, and idle
///
///     opening   B > allowed + margin     longer than `time`: the blade is open and nobody asked
///     tracks    |x₁ − x₂| > apart        longer than `time`
///     current   |i| > most_current       longer than `time`
///
/// Tripped, it stays so until the key is turned off. If current flows on although the motor has no power, `runs_on`
/// says so: there is a second path. All figures are this bench's own: looser than the monitor's, since it must be quiet
/// when that one is.
struct WatcherParameters {
    bool enabled = false;
    double time = 0.2;           ///< [s]
    double lag = 0.3;            ///< [s] the blade may follow the foot down
    double margin = 0.15;        ///< [share of travel]
    double idle = 0.15;          ///< [share of travel] always allowed
    double apart = 0.18;         ///< [share of travel]
    double most_current = 11.0;  ///< [A]
    double no_current = 0.5;     ///< [A] less than that is none
};

[[nodiscard]] const Description& description(Tag<WatcherParameters>);

/// What was burnt into it when the pair was set up.
struct WatcherEnds {
    struct Track {
        std::int32_t closed = 0, open = 4095;  ///< [counts]
    };
    std::array<Track, 2> pedal{}, throttle{};
    /// Where a second track is no straight line its own opinion is not asked.
    bool compare_pedal = true, compare_throttle = true;
    std::vector<std::int32_t> allowed;  ///< [‰] at pedal 0, 1/16 … 1; 17 entries
};

class Watcher {
public:
    enum class Reason { none, opening, tracks, current };

    /// Throws InvalidParameter for parameters out of range, tracks without a span and a map without 17 entries.
    Watcher(const WatcherParameters& p, WatcherEnds ends, Time period);

    /// Raw counts of the first two tracks of each assembly, the current [A], and whether the motor has power. Returns
    /// whether the motor may have power.
    bool step(const std::array<std::int32_t, 2>& pedal, const std::array<std::int32_t, 2>& throttle, double current,
              bool powered) noexcept;

    [[nodiscard]] bool tripped() const noexcept { return reason_ != Reason::none; }
    [[nodiscard]] Reason reason() const noexcept { return reason_; }
    [[nodiscard]] bool runs_on() const noexcept { return runs_on_; }

private:
    [[nodiscard]] std::int32_t permitted(std::int32_t pedal) noexcept;
    void judge(Reason reason, bool condition, std::int32_t& ticks) noexcept;

    std::int32_t most_ticks_, margin_, idle_, apart_;
    double most_current_, no_current_;
    WatcherEnds ends_;
    std::vector<std::int32_t> past_;  ///< [‰] what was allowed at each tick of the lag, a ring
    std::size_t next_ = 0;
    std::int32_t opening_ = 0, tracks_ = 0, current_ = 0, running_ = 0;  ///< [ticks] how long each has lasted
    Reason reason_ = Reason::none;
    bool runs_on_ = false;
};

constexpr std::array<std::pair<Watcher::Reason, const char*>, 4> names(Tag<Watcher::Reason>) {
    using R = Watcher::Reason;
    return {{{R::none, "none"}, {R::opening, "opening"}, {R::tracks, "tracks"}, {R::current, "current"}}};
}

}  // namespace twintrack::monitor
