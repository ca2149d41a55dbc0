// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/independent_supervision.hpp"

#include <algorithm>
#include <cmath>

namespace twintrack::bench {

namespace {

using monitor::Reaction;
using plant::BridgeMode;

constexpr double bend =
    0.02;  // [share of span] by which a track that is a straight line to the function monitor may deviate

bool straight(const control::LearnedTrack& t) {
    double worst = 0.0;
    for (std::size_t i = 0; i < control::curve_knots; ++i) {
        const double x = static_cast<double>(i) / static_cast<double>(control::curve_knots - 1);
        worst = std::max(worst, std::fabs(t.curve[i] - t.start() - x * t.span()));
    }
    return worst <= bend * std::fabs(t.span());
}

/// What is burnt into the function monitor when a learn has been accepted.
monitor::FunctionMonitorCalibration function_monitor_calibration(const BenchParameters& p,
                                                                 const control::LearnedRange& learned,
                                                                 double full_scale) {
    const auto count = [&](double reading) { return static_cast<std::int32_t>(std::lround(reading * full_scale)); };
    const auto ends = [&](const control::LearnedTrack& t) {
        monitor::FunctionMonitorCalibration::Track track{count(t.start()), count(t.end()), straight(t), {}};
        for (std::size_t k = 0; k < track.curve.size(); ++k) track.curve[k] = count(t.curve[2 * k]);
        return track;
    };
    monitor::FunctionMonitorCalibration e;
    e.pedal_tracks = learned.pedal.size();
    e.throttle_tracks = learned.throttle.size();
    for (std::size_t k = 0; k < e.pedal_tracks; ++k) e.pedal[k] = ends(learned.pedal[k]);
    for (std::size_t k = 0; k < e.throttle_tracks; ++k) e.throttle[k] = ends(learned.throttle[k]);
    e.lowest = count(p.monitor.function_monitor.band_low);
    e.highest = count(p.monitor.function_monitor.band_high);
    e.limited = static_cast<std::int32_t>(std::ceil(1000.0 * p.monitor.ladder.limited.demand_limit));
    const Table map(p.controller.pedal_map.pedal, p.controller.pedal_map.opening, "controller.pedal_map");
    for (int i = 0; i <= 16; ++i) e.allowed.push_back(static_cast<std::int32_t>(std::ceil(1000.0 * map(i / 16.0))));
    return e;
}

static_assert(control::curve_knots == 2 * monitor::FunctionMonitorCalibration::knots - 1);

monitor::ShutdownDevice::Trim trim(const BenchParameters& p) {
    sensing::Track track(p.body.tracks[0], "body.tracks[1]");
    const double closed = track.read(0.0, {}), at = track.read(p.monitor.device.throttle_share, {});
    return {p.reference * at, at > closed};
}

}  // namespace

IndependentSupervision::IndependentSupervision(const BenchParameters& p,
                                               const std::optional<control::LearnedRange>& learned,
                                               std::optional<Stroke> brake, bool watched, Time period)
    : sensor_(p.brake),
      reference_(p.reference),
      full_scale_(std::exp2(p.acquisition.bits) - 1.0),
      off_(p.monitor.motor_off_by),
      brake_(std::move(brake)) {
    if (!watched) return;
    if (p.monitor.function_monitor.enabled && learned)
        function_monitor_.emplace(p.monitor.function_monitor, function_monitor_calibration(p, *learned, full_scale_),
                                  period);
    fresh_function_monitor_ = function_monitor_;
    if (p.monitor.device.enabled) device_.emplace(p.monitor.device, trim(p), period);
}

void IndependentSupervision::hold_brake(double braking) {
    if (!brake_) throw InvalidParameter("brake", "the session was begun without a brake");
    require(braking, {0.0, 1.0}, "brake", "", "share of full braking");
    brake_ = Stroke({0.0, 1.0}, {braking, braking});
}

void IndependentSupervision::sense_brake(double factor, Time now, control::Input& in) {
    braking_ = brake_ ? brake_->travel(now) : 0.0;
    const double output = clamp(factor * sensing::brake_output(sensor_, braking_), 0.0, 1.0);
    brake_volts_ = reference_ * output;
    in.brake = static_cast<double>(counts(output)) / full_scale_;
    const double seen = sensing::braking(sensor_, in.brake);
    in.brake_applied = applied_ = seen > sensor_.applied;
    in.brake_hard = hard_ = seen > sensor_.hard;
}

std::int32_t IndependentSupervision::counts(double reading) const noexcept {
    return static_cast<std::int32_t>(std::lround(reading * full_scale_));
}

/// FunctionMonitor and device take away what the monitor has left.
Reaction IndependentSupervision::judge(Reaction reaction, const control::Input& in, double throttle_volts,
                                       bool powered) noexcept {
    if (function_monitor_) {
        const auto all = [this](const control::Readings& r) {
            return monitor::FunctionMonitor::Counts{counts(r[0]), counts(r[1]), counts(r[2])};
        };
        const bool may = function_monitor_->step(all(in.pedal), all(in.throttle), in.motor_current, powered);
        if (!may) reaction = std::max(reaction, Reaction::motor_off);
    }
    if (device_ && !device_->step(brake_volts_, in.brake_hard, throttle_volts, in.supply))
        reaction = std::max(reaction, Reaction::engine_off);
    return reaction;
}

void IndependentSupervision::sleep(const control::Input& in, double throttle_volts) noexcept {
    if (device_) (void)device_->step(brake_volts_, in.brake_hard, throttle_volts, in.supply);
}

void IndependentSupervision::reboot() {
    if (function_monitor_ && !function_monitor_->tripped()) function_monitor_ = fresh_function_monitor_;
}

/// FunctionMonitor and device open the motor's supply, whatever the controller would do.
BridgeMode IndependentSupervision::off_mode() const noexcept {
    if ((function_monitor_ && function_monitor_->tripped()) || (device_ && device_->tripped()))
        return BridgeMode::high_impedance;
    return off_ == monitor::MotorOff::braking ? BridgeMode::brake : BridgeMode::high_impedance;
}

monitor::FunctionMonitor::Reason IndependentSupervision::function_monitor() const noexcept {
    return function_monitor_ ? function_monitor_->reason() : monitor::FunctionMonitor::Reason::none;
}

monitor::ShutdownDevice::Reason IndependentSupervision::device() const noexcept {
    return device_ ? device_->reason() : monitor::ShutdownDevice::Reason::none;
}

const std::array<Signal, IndependentSupervision::signal_count>& IndependentSupervision::signals() {
    static const std::array<Signal, signal_count> list{{{"brake", ""},
                                                        {"brake.volts", "V"},
                                                        {"brake.applied", ""},
                                                        {"brake.hard", ""},
                                                        {"function_monitor.tripped", ""},
                                                        {"device.tripped", ""},
                                                        {"function_monitor.reason", ""},
                                                        {"device.reason", ""}}};
    return list;
}

bool IndependentSupervision::has(std::size_t signal) const noexcept {
    return signal < 4 ? brake_.has_value() : signal % 2 == 0 ? function_monitor_.has_value() : device_.has_value();
}

double IndependentSupervision::value(std::size_t signal) const noexcept {
    const std::array<double, signal_count> all{braking_,
                                               brake_volts_,
                                               double(applied_),
                                               double(hard_),
                                               double(function_monitor() != monitor::FunctionMonitor::Reason::none),
                                               double(device() != monitor::ShutdownDevice::Reason::none),
                                               double(function_monitor()),
                                               double(device())};
    return all[signal];
}

}  // namespace twintrack::bench
