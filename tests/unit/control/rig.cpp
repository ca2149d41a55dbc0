// SPDX-License-Identifier: BSD-3-Clause
#include "rig.hpp"

#include <algorithm>

namespace rig {

namespace {

using namespace twintrack;
using plant::State;

State<double> moved(const State<double>& x, const State<double>& d, double h) {
    return {x.current + h * d.current, x.angle + h * d.angle, x.speed + h * d.speed, x.bristle + h * d.bristle};
}

class Plant {
public:
    explicit Plant(const Setup& s) : setup_(s), c_(plant::coefficients(s.body)) {
        x_ = {0.0, plant::default_angle(s.body), 0.0, 0.0};
    }

    void advance(const control::Command& command) {
        const double duty = setup_.leads_exchanged ? -command.duty : command.duty;
        plant::Drive<double> drive{plant::terminal(setup_.bridge, command.mode, duty, setup_.supply)};
        constexpr double h = 20e-6;
        for (int i = 0; i < 50; ++i) {
            const bool off = command.mode == plant::BridgeMode::high_impedance;
            drive.conducting = !off || x_.current != 0.0;
            const double before = x_.current;
            x_ = step(drive, h);
            if (off && x_.current * before <= 0.0) x_.current = 0.0;
        }
    }

    [[nodiscard]] const State<double>& state() const { return x_; }
    [[nodiscard]] double opening() const {
        const auto& s = setup_.body.stops;
        return (x_.angle - s.closed_angle) / (s.open_angle - s.closed_angle);
    }

private:
    State<double> step(const plant::Drive<double>& d, double h) const {
        const auto k1 = derivatives(c_, d, x_);
        const auto k2 = derivatives(c_, d, moved(x_, k1, 0.5 * h));
        const auto k3 = derivatives(c_, d, moved(x_, k2, 0.5 * h));
        const auto k4 = derivatives(c_, d, moved(x_, k3, h));
        return moved(moved(moved(moved(x_, k1, h / 6), k2, h / 3), k3, h / 3), k4, h / 6);
    }

    const Setup& setup_;
    plant::Coefficients<double> c_;
    State<double> x_;
};

class Sensors {
public:
    Sensors(const std::vector<sensing::TrackParameters>& tracks, const Setup& s, std::uint32_t channel)
        : noise_(s.noise) {
        for (const auto& t : tracks) {
            tracks_.emplace_back(t);
            channels_.emplace_back(s.acquisition, milliseconds(1));
            streams_.emplace_back(1u, 0u, channel++);
        }
    }

    control::Readings read(double position, std::uint64_t tick) {
        control::Readings out{};
        for (std::size_t k = 0; k < tracks_.size(); ++k) {
            const double rms = noise_ ? tracks_[k].parameters().noise : 0.0;
            const double share = tracks_[k].read(position) + rms * streams_[k].normal(tick);
            out[k] = channels_[k].sample(5.0 * share, 5.0);
        }
        return out;
    }

private:
    bool noise_;
    std::vector<sensing::Track> tracks_;
    std::vector<sensing::Channel> channels_;
    std::vector<NoiseStream> streams_;
};

}  // namespace

std::vector<Sample> run(const Setup& setup, const control::Unit& unit, double duration,
                        const std::function<bool()>& stop) {
    Plant body(setup);
    Sensors throttle(setup.throttle, setup, 0), pedal(setup.pedal, setup, 8);
    std::vector<Sample> out;
    const auto ticks = static_cast<std::int64_t>(duration * 1e3 + 0.5);
    for (std::int64_t tick = 0; tick <= ticks && !stop(); ++tick) {
        const double time = static_cast<double>(tick) * 1e-3;
        control::Input in;
        in.time = milliseconds(tick);
        in.pedal = pedal.read(setup.foot(time), static_cast<std::uint64_t>(tick));
        in.throttle = throttle.read(body.opening(), static_cast<std::uint64_t>(tick));
        in.supply = setup.supply;
        in.motor_current = body.state().current;
        setup.spoil(time, in);
        const control::Command command = unit(in);
        out.push_back({time, body.opening(), body.state().speed, body.state().current, command, in});
        body.advance(command);
    }
    return out;
}

double two_presses(double time, double second) {
    const auto press = [&](double start) {
        const double t = time - start;
        return std::clamp(std::min(t / 1.5, (4.0 - t) / 1.5), 0.0, 1.0);
    };
    return press(8.0) + second * press(13.0);
}

}  // namespace rig
