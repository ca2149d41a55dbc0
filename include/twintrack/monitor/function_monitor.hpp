// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "twintrack/core/described.hpp"
#include "twintrack/core/time.hpp"

namespace twintrack::monitor {

/// A second, independent function monitor: the function monitoring of the published three-level concept (structure from
/// memory). It shares nothing with controller and monitor but the converter: its inputs are raw counts and the drive
/// current, integer arithmetic on ends of its own, thresholds of its own; it can take the motor's power away, and
/// nothing else.
///
///     x_k = (n_k − n_closed,k) / (n_open,k − n_closed,k) in ‰                  n raw counts of one track
///     pedal  P = the smallest of its x,  blade  B = the largest of its x
///     allowed = the largest of map(P) over the last `lag`, and idle
///
///     opening   B > allowed + margin     longer than `time`: the blade is open without a demand
///     tracks    |x_i − x_j| > apart      longer than `time`
///     current   |i| > most_current       longer than `time`
///
/// A track outside the electrical band is lost and has no opinion; of three tracks so has the one that two others,
/// which agree, contradict. The others go on, and while a track is lost map(P) is held to the demand that the ladder's
/// "limited" permits: the function monitor agrees with a limp-home on the tracks that are left. Without a track of the
/// pedal nothing but idle is allowed; without one of the blade it trips ("tracks"). With `lowest_pedal` two pedal
/// tracks that contradict each other count as a lost one too, since the smaller of them decides; two of the blade never
/// do.
///
/// Tripped, it stays so until the key is turned off. If current flows on although the motor has no power, `runs_on`
/// says so: there is a second path. All figures are this bench's own: looser than the monitor's, since it must be quiet
/// when that one is.
struct FunctionMonitorParameters {
    bool enabled = false;
    double time = 0.2;       ///< [s]
    double lag = 0.3;        ///< [s] the blade may follow the foot down
    double margin = 0.15;    ///< [share of travel]
    double idle = 0.15;      ///< [share of travel] always allowed
    double apart = 0.18;     ///< [share of travel]
    double band_low = 0.04;  ///< [share of full scale] a track outside is lost
    double band_high = 0.96;
    bool lowest_pedal = false;   ///< pedal tracks apart: the smaller counts, limited; false: it trips
    double most_current = 11.0;  ///< [A]
    double no_current = 0.5;     ///< [A] less than that is none
};

[[nodiscard]] const Description& description(Tag<FunctionMonitorParameters>);

/// What was burnt into it when the pair was set up.
struct FunctionMonitorCalibration {
    static constexpr std::size_t most_tracks = 3, knots = 17;
    struct Track {
        std::int32_t closed = 0, open = 4095;  ///< [counts]
        /// A track that is no straight line has no opinion while another has one; by itself it is read along its curve.
        bool straight = true;
        std::array<std::int32_t, knots> curve{};  ///< [counts] at positions 0, 1/16 … 1
    };
    using Tracks = std::array<Track, most_tracks>;
    Tracks pedal{}, throttle{};
    std::size_t pedal_tracks = 2, throttle_tracks = 2;
    std::int32_t lowest = 0, highest = 4095;  ///< [counts] the electrical band
    std::int32_t limited = 1000;              ///< [‰] most that is allowed while a track is lost
    std::vector<std::int32_t> allowed;        ///< [‰] at pedal 0, 1/16 … 1; 17 entries
};

class FunctionMonitor {
public:
    enum class Reason { none, opening, tracks, current };

    /// Throws InvalidParameter for parameters out of range, tracks without a span and a map without 17 entries.
    FunctionMonitor(const FunctionMonitorParameters& p, FunctionMonitorCalibration ends, Time period);

    using Counts = std::array<std::int32_t, FunctionMonitorCalibration::most_tracks>;

    /// Raw counts of the tracks of each assembly, the current [A], and whether the motor has power. Returns
    /// whether the motor may have power.
    bool step(const Counts& pedal, const Counts& throttle, double current, bool powered) noexcept;

    /// Nothing is being counted, or it has tripped.
    [[nodiscard]] bool settled() const noexcept {
        return tripped() || (opening_ == 0 && tracks_ == 0 && current_ == 0);
    }
    /// Ticks at which nothing was found and the same tracks were lost; raw counts of the pedal at the last
    /// of them, in their order: all of them, or looks_back().
    void pass(const std::vector<Counts>& pedal) noexcept;
    /// Which tracks of an assembly are not lost at these counts, and which are used.
    struct Sight {
        std::array<bool, FunctionMonitorCalibration::most_tracks> sound{}, asked{};
        bool by_curve = false;  ///< a track that is no straight line has been used
    };
    [[nodiscard]] Sight sight(const FunctionMonitorCalibration::Tracks& tracks, std::size_t count,
                              const Counts& n) const noexcept;
    /// Two pedal tracks contradict each other, and the smaller counts.
    [[nodiscard]] bool foot_apart() const noexcept { return foot_apart_; }
    [[nodiscard]] bool limited() const noexcept { return limited_; }  ///< a track is lost, or two are apart
    [[nodiscard]] const FunctionMonitorCalibration& ends() const noexcept { return ends_; }
    [[nodiscard]] std::size_t looks_back() const noexcept { return past_.size(); }  ///< [ticks], this one included

    [[nodiscard]] bool tripped() const noexcept { return reason_ != Reason::none; }
    [[nodiscard]] Reason reason() const noexcept { return reason_; }
    [[nodiscard]] bool runs_on() const noexcept { return runs_on_; }

private:
    /// What the tracks of an assembly say together.
    struct View {
        std::int32_t low = 0, high = 0;  ///< [‰]
        bool apart = false, lost = false, blind = false;
    };
    [[nodiscard]] View look(const FunctionMonitorCalibration::Tracks& tracks, std::size_t count,
                            const Counts& n) const noexcept;
    [[nodiscard]] std::int32_t permitted(const View& pedal, bool limited) noexcept;
    void judge(Reason reason, bool condition, std::int32_t& ticks) noexcept;

    std::int32_t most_ticks_, margin_, idle_, apart_;
    double most_current_, no_current_;
    bool lowest_pedal_;
    FunctionMonitorCalibration ends_;
    std::vector<std::int32_t> past_;  ///< [‰] what was allowed at each tick of the lag, a ring
    std::size_t next_ = 0;
    std::int32_t opening_ = 0, tracks_ = 0, current_ = 0, running_ = 0;  ///< [ticks] how long each has lasted
    Reason reason_ = Reason::none;
    bool runs_on_ = false, limited_ = false, foot_apart_ = false;
};

constexpr std::array<std::pair<FunctionMonitor::Reason, const char*>, 4> names(Tag<FunctionMonitor::Reason>) {
    using R = FunctionMonitor::Reason;
    return {{{R::none, "none"}, {R::opening, "opening"}, {R::tracks, "tracks"}, {R::current, "current"}}};
}

}  // namespace twintrack::monitor
