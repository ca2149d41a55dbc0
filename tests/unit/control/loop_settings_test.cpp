// SPDX-License-Identifier: BSD-3-Clause
// The settings of the position loop: what is neutral, what is refused, what follows from the body.
#include <gtest/gtest.h>

#include <cmath>

#include "rig.hpp"
#include "support/bodies.hpp"
#include "twintrack/control/controller.hpp"
#include "twintrack/control/tuning.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;

LearnedRange learned_of(const plant::BodyMechanics& body) {
    const double travel = body.stops.open_angle - body.stops.closed_angle;
    return {.pedal = {straight_track(0.1, 0.9), straight_track(0.05, 0.45)},
            .throttle = {straight_track(0.12, 0.88), straight_track(0.88, 0.12)},
            .default_opening = (plant::default_angle(body) - body.stops.closed_angle) / travel};
}

Controller controller_of(const ControllerParameters& p, const plant::BodyMechanics& body = {}) {
    return {p, body, learned_of(body), milliseconds(1), 0.0003, 12};
}

ControllerParameters neutral() {
    ControllerParameters p;
    p.self_check_time = p.twitch_time = 0.0;
    p.integral_ratio = 0.5;
    p.observer_pole = 0.0;
    p.rest_band = 0.0;
    p.set_point_speed = 1e6;
    p.windup = Windup::tracked;
    return p;
}

/// The law without observer, rest band and limit of the set point, written out.
class PlainLoop {
public:
    explicit PlainLoop(const Controller& c) : c_(c.loop()), h_(c.loop().period) {}
    double step(double opening, double demand, double supply) {
        if (!begun_) {
            first_ = second_ = entry_ = std::min(std::max(opening, 0.0), 1.0);
            last_ = (second_ - opening) * c_.travel;
            integral_ = -feed_forward(c_, second_, 0.0) - c_.pid.proportional * last_;
            begun_ = true;
        }
        share_ = std::min(share_ + c_.entry_step, 1.0);
        const double target = entry_ + share_ * (demand - entry_), before = second_;
        first_ = first_ + c_.filter_step * (target - first_);
        second_ = second_ + c_.filter_step * (first_ - second_);
        const double feed = feed_forward(c_, second_, (second_ - before) * c_.travel / h_);
        const double error = (second_ - opening) * c_.travel, most = c_.duty_limit * supply;
        derivative_ = c_.pid.derivative_old * derivative_ + c_.pid.derivative_new * (error - last_);
        last_ = error;
        const double wanted = c_.pid.proportional * error + integral_ + derivative_ + feed;
        const double value = std::min(std::max(wanted, -most), most);
        const double outside = error - std::min(std::max(error, -c_.pid.dead_band), c_.pid.dead_band);
        integral_ = integral_ + c_.pid.integral_step * outside + c_.pid.tracking * (value - wanted);
        return value / supply;
    }

private:
    LoopCoefficients<double> c_;
    double h_, first_ = 0.0, second_ = 0.0, entry_ = 0.0, share_ = 0.0, last_ = 0.0, integral_ = 0.0, derivative_ = 0.0;
    bool begun_ = false;
};

TEST(LoopSettings, NeutralOnesChangeNoBit) {
    const Controller fresh = controller_of(neutral());
    Controller c = fresh;
    PlainLoop plain(fresh);
    for (int k = 0; k < 3000; ++k) {
        Input in;
        in.time = milliseconds(k);
        in.supply = 13.0 + std::sin(0.01 * k);
        const double foot = 0.5 + 0.45 * std::sin(0.004 * k), blade = 0.4 + 0.35 * std::sin(0.005 * k + 0.3);
        in.pedal = {0.1 + 0.8 * foot, 0.05 + 0.4 * foot, 0.0};
        in.throttle = {0.12 + 0.76 * blade, 0.88 - 0.76 * blade, 0.0};
        const Command out = c.step(in);
        ASSERT_EQ(out.duty, plain.step(out.opening, out.demand, in.supply)) << k;
    }
}

// The gains of the damping optimum with half a period for the filter, as before there were settings (regression only).
TEST(LoopSettings, AbsentFilterIsOnePeriod) {
    ControllerParameters p = neutral();
    const PidParameters absent = controller_of(p).gains();
    p.derivative_filter = 0.001;
    const PidParameters given = controller_of(p).gains();
    EXPECT_EQ(absent.derivative_filter, 0.001);
    EXPECT_EQ(absent.proportional, given.proportional);
    EXPECT_EQ(absent.derivative, given.derivative);
    p.derivative_filter = 0.003;
    EXPECT_LT(controller_of(p).gains().proportional, absent.proportional) << "a longer filter asks for a softer loop";
}

std::string refused(const ControllerParameters& p, std::string* why = nullptr) {
    try {
        (void)controller_of(p);
    } catch (const InvalidParameter& e) {
        if (why) *why = e.what();
        return e.where();
    }
    return "";
}

TEST(LoopSettings, RefusesWhatCannotWork) {
    ControllerParameters p;
    EXPECT_EQ(refused(p), "");
    p.load_pole = p.observer_pole + 1.0;
    EXPECT_EQ(refused(p), "controller.load_pole");
    p = {};
    p.rest_limit = 0.5 * p.rest_band;
    EXPECT_EQ(refused(p), "controller.rest_limit");
    p = {};
    p.dead_band = -0.001;
    EXPECT_EQ(refused(p), "controller.dead_band");
    p = neutral();
    p.proportional = 150.0, p.integral = 6600.0, p.derivative = 1.3;  // of Set A at a filter of 1 ms
    EXPECT_EQ(refused(p), "");
    p.derivative_filter = 0.05;
    std::string why;
    EXPECT_EQ(refused(p, &why), "controller.derivative_filter");
    EXPECT_NE(why.find("shorten the filter"), std::string::npos) << why;
}

// Derived: with R J/(N K) v/τ − N K v = U the filter's first retardation takes all of the voltage.
TEST(LoopSettings, TheSetPointIsNoFasterThanTheMotorCanStop) {
    const plant::BodyMechanics body = support::set_a();
    const double v = fastest_set_point(body, 0.018, 12.0);
    EXPECT_NEAR(1.5 * 0.0021 / 0.383 * v / 0.018 - 0.383 * v, 12.0, 1e-9);
    EXPECT_TRUE(std::isinf(fastest_set_point(body, 0.03, 12.0))) << "the back-EMF alone stops it";
    EXPECT_TRUE(std::isinf(fastest_set_point(body, 0.0, 12.0)));
}

TEST(LoopSettings, TheSetPointKeepsItsSpeed) {
    ControllerParameters p;
    p.self_check_time = p.twitch_time = 0.0;
    p.set_point_speed = 2.0;
    Controller c = controller_of(p);
    double before = 0.1, fastest = 0.0;
    for (int k = 0; k < 1500; ++k) {
        Input in;
        in.time = milliseconds(k);
        in.supply = 13.5;
        const double foot = k < 300 ? 0.1 : 0.9;
        in.pedal = {0.1 + 0.8 * foot, 0.05 + 0.4 * foot, 0.0};
        in.throttle = {0.2, 0.8, 0.0};
        const double now = c.step(in).set_point;
        if (k > 300) fastest = std::max(fastest, (now - before) / 0.001);
        before = now;
    }
    EXPECT_LE(fastest, 2.0 + 1e-9);
    EXPECT_GT(fastest, 1.9);
}

// Hurwitz, analytic: K_v K_p < 1/T_m + 1/T_Σ for a proportional controller on K_v/(s (1 + T_m s)(1 + T_Σ s)).
TEST(LoopSettings, StabilityIsHurwitz) {
    const LoopModel m = loop_model(support::set_a(), 0.001, 0.0003);
    const double limit = (1.0 / m.motor_time + 1.0 / m.small_time) / m.velocity_gain;
    EXPECT_TRUE(stable(m, {.proportional = 0.999 * limit, .integral = 0.0, .derivative = 0.0}));
    EXPECT_FALSE(stable(m, {.proportional = 1.001 * limit, .integral = 0.0, .derivative = 0.0}));
    EXPECT_TRUE(stable(m, damping_optimum(m)));
}

// Derived in lib/control/README.md: only D₂ = a₂/a₁² follows the integral.
TEST(LoopSettings, TheIntegralRatioIsTheSecondCharacteristicRatio) {
    const LoopModel m = loop_model(support::set_a(), 0.001, 0.0003);
    const PidParameters half = damping_optimum(m), slow = damping_optimum(m, 0.1);
    EXPECT_EQ(half.proportional, slow.proportional);
    EXPECT_EQ(half.derivative, slow.derivative);
    const double a1 = slow.proportional / slow.integral;
    const double a2 = (1.0 + m.velocity_gain * slow.derivative) / (m.velocity_gain * slow.integral);
    EXPECT_NEAR(a2 / (a1 * a1), 0.1, 1e-12);
}

/// Ticks `from` … `to` with a blade and a foot that stand.
void feed(Controller& c, int from, int to, double blade, double foot) {
    for (int k = from; k < to; ++k) {
        Input in;
        in.time = milliseconds(k);
        in.supply = 13.5;
        in.pedal = {0.1 + 0.8 * foot, 0.05 + 0.4 * foot, 0.0};
        in.throttle = {0.12 + 0.76 * blade, 0.88 - 0.76 * blade, 0.0};
        c.step(in);
    }
}

// At rest within the band the integral stands; beyond the limit it moves again, and so it does when the set point goes.
TEST(LoopSettings, TheIntegralStandsAtRest) {
    ControllerParameters p;
    p.self_check_time = p.twitch_time = 0.0;
    p.feed_forward = false;
    Controller c = controller_of(p);
    const auto integral = [&](int from, int to, double blade, double foot) {
        feed(c, from, to, blade, foot);
        return c.memory().loop.pid.integral;
    };
    const double foot = 0.5, goal = 0.02 + 0.95 * (foot - 0.03) / 0.97;
    const double first = integral(0, 1500, goal + 0.0005, foot);
    EXPECT_EQ(integral(1500, 2000, goal + 0.003, foot), first) << "between band and limit it stands";
    const double moved = integral(2000, 2500, goal + 0.008, foot);
    EXPECT_LT(moved, first) << "beyond the limit";
    EXPECT_LT(integral(2500, 3000, goal + 0.003, foot), moved) << "and on until it is within the band again";
}

/// A blade held 1 % of travel above its set point: from when it has stood for 20 ms the push grows by its rate, and
/// once the blade is moved it falls to 1/e in 20 ms.
TEST(LoopSettings, ABladeThatStandsOffIsPushed) {
    ControllerParameters p;
    p.self_check_time = p.twitch_time = 0.0;
    p.break_away_rate = 10.0;
    Controller c = controller_of(p);
    const double foot = 0.5, goal = 0.02 + 0.95 * (foot - 0.03) / 0.97;
    const auto push = [&](int from, int to, double blade) {
        feed(c, from, to, blade, foot);
        return c.memory().loop.push.volts;
    };
    EXPECT_EQ(push(0, 1000, goal), 0.0) << "at its set point";
    EXPECT_EQ(push(1000, 1020, goal + 0.01), 0.0) << "not for long enough";
    EXPECT_NEAR(push(1020, 1121, goal + 0.01), -1.0, 0.011);
    EXPECT_NEAR(push(1121, 1141, goal), -std::exp(-1.0), 0.011);
}

}  // namespace
