// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>

#include "twintrack/control/learned_range.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/core/time.hpp"
#include "twintrack/monitor/check.hpp"

/// Conditions on one track. Each is a plain question put at every tick; debouncing is not theirs.
namespace twintrack::monitor {

/// The band in volts against the controller's ground, beside the one in shares of full scale: a converter referred to
/// the sensors' own supply cannot detect that this supply is wrong. 0.2 and 4.8 V: limits of published service texts.
struct VoltsBandParameters {
    bool enabled = false;
    double low = 0.2;   ///< [V]
    double high = 4.8;  ///< [V]
};

[[nodiscard]] const Description& description(Tag<VoltsBandParameters>);

/// A reading that changes faster than pedal or blade can move. Limit: this bench's own; the quickest of the built-in
/// blades crosses its travel in some 50 ms (20 1/s) and the foot is slower.
struct RateParameters {
    double limit = 80.0;      ///< [1/s] share of travel
    double hold_time = 0.05;  ///< [s] that a jump counts as a bad reading
    CheckParameters check{};
};

[[nodiscard]] const Description& description(Tag<RateParameters>);

class RateCheck {
public:
    /// `span` [share of full scale] of the track's travel.
    RateCheck(const RateParameters& p, Time period, double span) noexcept
        : jump_(p.limit * seconds(period) * abs(span)), hold_(from_seconds(p.hold_time)), period_(period) {}

    /// Whether the reading has jumped within the hold time; a jump of exactly what the limit allows is none.
    bool step(double reading) noexcept {
        left_ = left_ > Time{0} ? left_ - period_ : Time{0};
        if (started_ && abs(reading - last_) > jump_) left_ = hold_ + period_;
        started_ = true;
        last_ = reading;
        return left_ > Time{0};
    }

    /// A jump still counts.
    [[nodiscard]] bool holds() const noexcept { return left_ > Time{0}; }
    /// As `ticks` without a jump, the last with `reading`.
    void pass(std::int64_t ticks, double reading) noexcept {
        left_ = std::max(left_ - ticks * period_, Time{0});
        started_ = true;
        last_ = reading;
    }

    /// As at a key-on.
    void restart() noexcept {
        left_ = Time{};
        started_ = false;
    }

private:
    double jump_;
    Time hold_, period_;
    Time left_{};
    bool started_ = false;
    double last_ = 0.0;
};

/// A track that is stationary while its partner moves. Two tracks do not show which of them is wrong, so this is no
/// verdict on the track. Limits: this bench's own, so that what correlation permits is not found here; off by default,
/// since correlation finds it then anyway.
struct StuckParameters {
    double still = 0.01;  ///< [share of travel] that counts as no movement
    double moved = 0.11;  ///< [share of travel] that the partner must have gone
    CheckParameters check{.enabled = false};
};

[[nodiscard]] const Description& description(Tag<StuckParameters>);

class StuckCheck {
public:
    explicit StuckCheck(const StuckParameters& p) noexcept : still_(p.still), moved_(p.moved) {}

    /// Where both stood when the track last moved.
    struct Anchor {
        double own = 0.0;      ///< [share of travel]
        double reading = 0.0;  ///< of the partner
    };

    /// `position` by the track itself, `expected` by its partner [share of travel]. Whoever learns a curve knows where
    /// a track rightly stands still; there `expected` does too. `reading` of the partner is for anchor().
    bool step(double position, double expected, double reading = 0.0) noexcept {
        if (start_ || abs(position - anchor_.own) > still_) {
            anchor_ = {position, reading};
            partner_ = expected;
            start_ = false;
        }
        return abs(expected - partner_) > moved_;
    }

    [[nodiscard]] const Anchor& anchor() const noexcept { return anchor_; }
    /// Continues from another anchor; `expected` by its reading.
    void resume(const Anchor& anchor, double expected) noexcept {
        anchor_ = anchor;
        partner_ = expected;
        start_ = false;
    }

    /// Begins anew, from both positions at the next step.
    void restart() noexcept { start_ = true; }

private:
    double still_, moved_;
    bool start_ = true;
    Anchor anchor_{};
    double partner_ = 0.0;  ///< what its reading made expect
};

/// A track beyond the ends that were learned: the stop has moved, or the part is another. Limit: this bench's own.
struct DriftParameters {
    double limit = 0.06;  ///< [share of travel] beyond a learned end
    CheckParameters check{.confirm_time = 1.0};
};

[[nodiscard]] const Description& description(Tag<DriftParameters>);

[[nodiscard]] inline bool beyond_ends(const DriftParameters& p, const control::LearnedTrack& t,
                                      double reading) noexcept {
    const double position = t.linear_position(reading);
    return position < -p.limit || position > 1.0 + p.limit;
}

}  // namespace twintrack::monitor
