// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/signals.hpp"
#include "twintrack/monitor/debounced_checks.hpp"
#include "twintrack/monitor/parameters.hpp"

namespace twintrack::monitor {

/// The tracks of one assembly: each by itself, against each other, and which of them to use.
///
/// A track is *lost* once a fault that is its own is confirmed (range, rate, outvoted). One lost by range or rate is no
/// longer held against the others; one that they have outvoted is, or the vote would end by itself. A track *looks bad*
/// while it is outside the band or has just jumped, and from then on until it agrees with a track that does not; that
/// is enough not to use it at this tick (fallback), long before anything is confirmed.
class AssemblyMonitor {
public:
    /// `learned` is empty when nothing was learned; then only the bands are watched, on `tracks` tracks.
    AssemblyMonitor(const MonitorParameters& p, Assembly assembly, std::vector<control::LearnedTrack> learned,
                    std::size_t tracks, Time period, DebouncedChecks& checks);

    /// `reference` [V] at the reference pins of its tracks.
    void step(const control::Readings& readings, const control::Readings& reference, DebouncedChecks& checks) noexcept;

    /// As at a key-on.
    void restart() noexcept;

    [[nodiscard]] const control::Trust& trust() const noexcept { return trust_; }
    /// Nothing that it says changes while every condition is false that is not spent, and a doubted track is doubted.
    [[nodiscard]] bool settled(const DebouncedChecks& checks) const noexcept;
    using Anchors = std::array<StuckCheck::Anchor, sensing::max_tracks>;
    [[nodiscard]] Anchors anchors() const noexcept;
    /// As `ticks` of that; the last with these readings, the tracks' movement since `anchors`.
    void pass(std::int64_t ticks, const control::Readings& readings, const Anchors& anchors) noexcept;
    [[nodiscard]] bool lost(std::size_t k) const noexcept { return tracks_[k].lost; }
    /// Of two tracks this one is not used again, since the other one, which is, contradicts it.
    [[nodiscard]] bool doubted(std::size_t k) const noexcept;

    /// What of a track is still looked for.
    struct Open {
        bool low, high, rate, drift, stuck;
        bool drifts;  ///< and is so now, its time running
    };
    [[nodiscard]] Open open(std::size_t k, const DebouncedChecks& checks) const noexcept;
    /// Whether it is still looked for that tracks i < j, neither of them lost by range or rate, differ.
    [[nodiscard]] bool open(std::size_t i, std::size_t j, const DebouncedChecks& checks) const noexcept;
    [[nodiscard]] int left() const noexcept;  ///< tracks that are not lost
    /// At this tick a track can be used: it is not bad, and of several good ones two agree.
    [[nodiscard]] bool sees() const noexcept;
    /// Two tracks that are not lost are confirmed to differ.
    [[nodiscard]] bool undecided(const DebouncedChecks& checks) const noexcept;

private:
    struct TrackWatch {
        std::size_t low, high, volts_low, volts_high, rate, stuck, drift, outvoted;
        RateCheck jump;
        StuckCheck still;
        bool lost = false;
        Time good{};  ///< how long it has looked good; −1: not now
    };
    struct PairWatch {
        std::size_t first, second, differs;
        bool apart = false;  ///< at this tick
    };

    [[nodiscard]] bool believed(std::size_t k) const noexcept {
        return !tracks_[k].lost && tracks_[k].good >= believe_after_;
    }
    void add_track(std::size_t k, const MonitorParameters& p, DebouncedChecks& checks);
    [[nodiscard]] bool contradicted(std::size_t k, const control::Readings& readings) const noexcept;
    void step_trust(const std::array<bool, 3>& bad, const control::Readings& readings) noexcept;
    bool step_band(std::size_t k, double reading, double volts, DebouncedChecks& checks) noexcept;
    [[nodiscard]] double expected(std::size_t k, double reading) const noexcept;
    void step_movement(std::size_t k, const control::Readings& readings, bool bad, DebouncedChecks& checks) noexcept;
    [[nodiscard]] bool sound(std::size_t k, const DebouncedChecks& checks) const noexcept;
    void step_pairs(const control::Readings& readings, DebouncedChecks& checks) noexcept;
    void step_volts(const control::Readings& readings, const control::Readings& reference,
                    DebouncedChecks& checks) noexcept;

    Assembly assembly_;
    MonitorParameters p_;
    VoltsLine line_;
    std::vector<control::LearnedTrack> learned_;
    std::vector<TrackWatch> tracks_;
    std::vector<PairWatch> pairs_;
    std::size_t volts_ = 0;
    Time period_, believe_after_;
    control::Trust trust_{true, true, true};
};

}  // namespace twintrack::monitor
