// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/control/signals.hpp"
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::control {

/// The test at key-on, before the loop is closed: motor off, the blade must be at its learned default position; a
/// twitch of its own, longer than the usual one, must move it; motor off again, the springs must bring it back. Common
/// practice, no source (start tests: default position and return spring). Off by default: a body exchanged without a
/// learn then fails here already.
struct SelfTestParameters {
    bool enabled = false;
    double tolerance = 0.02;       ///< [share of travel] about the learned default position
    double twitch_opening = 0.06;  ///< [share of travel] above it
    double twitch_time = 0.3;      ///< [s]
    double return_time = 0.25;     ///< [s] the springs have after the twitch
};

[[nodiscard]] const Description& description(Tag<SelfTestParameters>);

/// The twitch must go further than what counts as the default position.
void check(const SelfTestParameters& p, const std::string& path);

/// State of the test; a step each tick from key-on.
class KeyOnTest {
public:
    KeyOnTest() = default;
    /// `watch` and `twitch`: when the watching and the twitch end, since key-on.
    KeyOnTest(const SelfTestParameters& p, double default_opening, Time watch, Time twitch) noexcept
        : p_(p),
          default_(default_opening),
          watch_(watch),
          twitch_(twitch),
          back_(twitch + from_seconds(p.return_time)) {
        state_ = p.enabled ? SelfTest::under_way : SelfTest::none;
    }

    /// `opening` by the controller's tracks.
    SelfTest step(Time now, double opening) noexcept {
        if (state_ != SelfTest::under_way || now < watch_) return state_;
        const bool there = abs(opening - default_) <= p_.tolerance;
        if (!looked_ && !there) state_ = SelfTest::default_wrong;
        looked_ = true;
        twitched_ = twitched_ || opening - default_ > p_.tolerance;
        if (state_ == SelfTest::under_way && now >= twitch_ && !twitched_) state_ = SelfTest::no_twitch;
        if (state_ == SelfTest::under_way && now >= back_) state_ = there ? SelfTest::passed : SelfTest::no_return;
        return state_;
    }

    /// The motor must be off for the springs to show what they can.
    [[nodiscard]] bool motor_off(Time now) const noexcept {
        return failed(state_) || (state_ == SelfTest::under_way && now >= twitch_);
    }

private:
    SelfTestParameters p_;
    double default_ = 0.0;  ///< [share of travel] learned
    Time watch_{}, twitch_{}, back_{};
    bool looked_ = false;    ///< at the default position
    bool twitched_ = false;  ///< beyond the tolerance
    SelfTest state_ = SelfTest::none;
};

}  // namespace twintrack::control
