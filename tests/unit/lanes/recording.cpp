// SPDX-License-Identifier: BSD-3-Clause
#include "recording.hpp"

#include <cmath>
#include <memory>

#include "twintrack/bench/exact_solver.hpp"
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/session.hpp"

namespace support {

using namespace twintrack;
using lanes::DutySample;
using plant::BridgeMode;

namespace {

bench::Stroke steps() {
    const std::vector<std::pair<double, double>> knots = {{0.3, 0.33}, {1.2, 0.90}, {2.2, 0.50}, {3.2, 0.10},
                                                          {4.0, 0.20}, {4.8, 0.03}, {5.6, 0.67}, {6.4, 0.68},
                                                          {6.9, 0.67}, {7.4, 0.22}, {8.2, 0.83}, {9.2, 0.03}};
    std::vector<double> time{0.0}, travel{0.2};
    for (const auto& [t, y] : knots) {
        time.insert(time.end(), {t, t + 0.02});
        travel.insert(travel.end(), {travel.back(), y});
    }
    return {time, travel};
}

/// The built-in controller, but for two spells of a constant duty.
control::Unit thrown(const bench::BenchParameters& p, const control::LearnedRange& learned) {
    auto own = std::make_shared<control::Controller>(p.controller, p.body.mechanics, learned, milliseconds(1),
                                                     p.acquisition.filter_time, p.acquisition.bits);
    return [own](control::Input in) {
        const auto within = [&](int from, int to) {
            return in.time >= milliseconds(from) && in.time < milliseconds(to);
        };
        const double duty = within(1600, 2100) ? 0.5 : within(3300, 3800) ? -0.5 : 0.0;
        if (duty != 0.0) in.motor_permitted = false;
        control::Command c = own->step(in);
        if (duty != 0.0) c.mode = BridgeMode::drive, c.duty = duty;
        return c;
    };
}

}  // namespace

std::vector<DutySample> recorded_duties(const bench::BenchParameters& p) {
    bench::BenchParameters at_ease = p;  // the opener spring invented for Set A cannot lift it against its friction
    at_ease.learn.limits.default_repeat_most = 0.10;
    const auto learned = bench::learn(at_ease).result.range;
    if (!learned) throw std::logic_error("the range learn was refused");
    bench::Session session(p, steps(), {.learned = learned, .controller = thrown(p, *learned), .monitored = false});
    std::vector<DutySample> played;
    for (int k = 0; k < 10000; ++k) {
        const control::Command& c = session.step().command;
        played.push_back({c.mode, c.duty});
    }
    return played;
}

std::vector<double> exact_angles(const bench::BenchParameters& p, const std::vector<DutySample>& played) {
    bench::ExactSolver engine(plant::coefficients(p.body.mechanics),
                              {.relative_tolerance = 1e-9, .absolute_tolerance = 1e-10});
    plant::State<double> x{0.0, plant::default_angle(p.body.mechanics), 0.0, 0.0};
    std::vector<double> angles;
    for (const DutySample& tick : played) {
        angles.push_back(x.angle);
        plant::Drive<double> drive;
        drive.terminal = plant::terminal(p.bridge, tick.mode, tick.duty, p.supply);
        if (auto failure = engine.advance(x, drive, 1e-3)) throw std::logic_error(*failure);
    }
    return angles;
}

Distance distance(const plant::BodyMechanics& body, const std::vector<double>& angles,
                  const std::vector<double>& exact) {
    constexpr double degrees = 57.29577951308232;
    const auto touches = [&](double angle) { return angle < body.stops.closed_angle || angle > body.stops.open_angle; };
    Distance d;
    std::size_t quiet_from = 0;
    for (std::size_t k = 1; k < exact.size(); ++k) {
        if (touches(exact[k]) && !touches(exact[k - 1])) ++d.impacts, quiet_from = k + 40;
        const double here = degrees * std::fabs(angles[k] - exact[k]);
        double& worst = k < quiet_from ? d.near_stop : d.elsewhere;
        worst = std::fmax(worst, here);
    }
    return d;
}

}  // namespace support
