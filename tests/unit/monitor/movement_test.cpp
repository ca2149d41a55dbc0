// SPDX-License-Identifier: BSD-3-Clause
// Gradient, stuck track and drift beyond a learned stop, each on both sides of its limit and of its time. Limits: this
// bench's own (track_checks.hpp).
#include <gtest/gtest.h>

#include <algorithm>

#include "shown.hpp"

namespace {

using namespace support;

/// What is said of pedal tracks that stand at `first(ms)` and `second(ms)` [share of travel] for `ms` ms.
template <class First, class Second>
std::string said(const MonitorParameters& p, int ms, First first, Second second) {
    const auto r = learned();
    Monitor m = make(r, p);
    for (int n = 0; n < ms; ++n) {
        control::Input in = healthy(r);
        in.pedal[0] = r.pedal[0].start() + first(n) * r.pedal[0].span();
        in.pedal[1] = r.pedal[1].start() + second(n) * r.pedal[1].span();
        show(m, in, 1, {}, n);
    }
    std::string text;
    for (const TroubleCode& c : m.codes()) text += c.text() + " at " + std::to_string(c.confirmed / tick) + " ";
    return text;
}

// 80 1/s is 8 % of travel in a tick; a jump counts for 50 ms, so jumps every 40 ms are one condition from the first on.
TEST(Gradient, JumpsThatComeAgainForMoreThanATenthOfASecond) {
    const auto jumping = [](double step) { return [=](int ms) { return ms / 40 % 2 == 0 ? 0.5 : 0.5 + step; }; };
    const auto still = [](int) { return 0.5; };
    EXPECT_EQ(said({}, 400, jumping(0.081), still), "P2121-27 at 141 ");
    EXPECT_EQ(said({}, 400, jumping(-0.081), still), "P2121-27 at 141 ");
    EXPECT_EQ(said({}, 400, still, jumping(0.081)), "P2126-27 at 141 ");
    EXPECT_EQ(said({}, 141, jumping(0.081), still), "") << "100 ms";
    EXPECT_EQ(said({}, 5000, jumping(0.079), still), "");
    EXPECT_EQ(said(
                  {}, 5000, [](int ms) { return ms < 40 ? 0.5 : 0.581; }, still),
              "")
        << "once";
}

TEST(Stuck, StandsWhileItsPartnerGoes) {
    MonitorParameters p;
    p.stuck.check.enabled = true;
    p.correlation.enabled = false;
    const auto goes = [](double far) {
        return [=](int ms) { return 0.3 + std::clamp(0.001 * ms - 0.0005, 0.0, far); };
    };
    const auto stands = [](int) { return 0.3; };
    EXPECT_EQ(said(p, 2000, stands, goes(0.2)), "P2121-26 at 212 ") << "beyond 11 % from 111 ms on";
    EXPECT_EQ(said(p, 2000, goes(0.2), stands), "P2126-26 at 212 ");
    EXPECT_EQ(said(p, 212, stands, goes(0.2)), "");
    EXPECT_EQ(said(p, 2000, stands, goes(0.109)), "");
    EXPECT_EQ(said(p, 2000, goes(0.2), goes(0.2)), "");
}

TEST(LearnedStop, AReadingBeyondItForMoreThanASecondLeavesACode) {
    const auto at = [](double travel) { return [=](int) { return travel; }; };
    EXPECT_EQ(said({}, 1200, at(-0.061), at(-0.061)), "P2115-28 at 1001 P2116-28 at 1001 ");
    EXPECT_EQ(said({}, 1200, at(1.061), at(1.061)), "P2115-28 at 1001 P2116-28 at 1001 ");
    EXPECT_EQ(said({}, 1001, at(-0.061), at(-0.061)), "") << "1 s";
    EXPECT_EQ(said({}, 9000, at(-0.059), at(-0.059)), "");
    EXPECT_EQ(said({}, 9000, at(1.059), at(1.059)), "");
}

}  // namespace
