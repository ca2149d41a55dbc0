// SPDX-License-Identifier: BSD-3-Clause
#include "lane_case.hpp"

#include <algorithm>
#include <cmath>

#include "limits.hpp"

namespace twintrack::lanes {

using control::Controller;
using plant::BridgeMode;

namespace {

Case checked(Case c) {
    check(c);
    c.bench = bench::with_engine(std::move(c.bench));
    return c;
}

}  // namespace

LaneCase::LaneCase(std::size_t index, Case c, const Options& options, Block& block, std::size_t lane)
    : index_(index),
      case_(checked(c)),
      block_(&block),
      lane_(lane),
      period_(from_seconds(c.bench.control_period)),
      substeps_(substeps_of(period_, options.substep)),
      record_every_(from_seconds(c.bench.record_period).count() / period_.count()),
      faults_(c.faults),
      pedal_map_(case_.bench.controller.pedal_map.pedal, case_.bench.controller.pedal_map.opening),
      controller_(case_.bench.controller, c.bench.body.mechanics, c.learned, period_, c.bench.acquisition.filter_time,
                  c.bench.acquisition.bits),
      look_(independent_supervision(c)),
      host_every_tick_(needs_host_every_tick(case_)),
      engine_(c.bench.engine.has_value()),
      signals_(columns_of(look_, c.bench.engine.has_value(), options.signals)),
      row_(signals_.size()),
      record_(recorded_at(signals_)) {
    if (case_.learn) learning_.emplace(case_.bench, *case_.learn);
    ticks_ = tick_at(from_seconds(c.duration.value_or(c.stroke.duration()))) + 1;
    host_at_ = ticks_;
    effects_ = faults_.effects(Time{});
    stops_ = bench::shifted_stops(c.bench.body.mechanics, effects_);
    LaneFields<double> fields = first_fields(case_, controller_, effects_, stops_, period_, substeps_);
    fields.control.scalar = host_every_tick_ || starts_with_host(case_.bench.monitor) || look_ ? 1.0 : 0.0;
    if (case_.bench.monitor.function_monitor.enabled) (void)block.history(lane);
    fields.engine = engine_fields(case_, fields.state.x.angle, period_, block, lane);
    block.put(lane, fields);
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        const control::LearnedTrack none{};
        const auto& learned = controller_.learned();
        block.put_curve(lane, 0, k, learned && k < learned->pedal.size() ? learned->pedal[k] : none);
        block.put_curve(lane, 1, k, learned && k < learned->throttle.size() ? learned->throttle[k] : none);
    }
    if (!signals_.empty()) record_.reserve(static_cast<std::size_t>(ticks_ / record_every_) + 1);
    if (c.bench.wiring.kind == bench::WiringKind::harness) wires_.emplace(c.bench, faults_, period_);
    if (faults_.empty()) follow_wires();
    begin();
}

void LaneCase::widen(Shape& s) const {
    const auto most = [](int& known, std::size_t here) { known = std::max(known, static_cast<int>(here)); };
    most(s.pedal_tracks, case_.bench.pedal.tracks.size());
    most(s.throttle_tracks, case_.bench.body.tracks.size());
    for (const auto* list : {&case_.bench.pedal.tracks, &case_.bench.body.tracks})
        for (const auto& t : *list) most(s.pieces, t.position.size() - 1);
    most(s.map_pieces, case_.bench.controller.pedal_map.pedal.size());
    s.ordered = s.ordered || ordered_;
    s.led = s.led || led_;
    s.anchored = s.anchored || case_.bench.monitor.stuck.check.enabled;
    s.history = block_->histories();
    if (engine_) s.engine_steps = bench::engine_steps(period_);
    if (!wires_) return;
    s.wired = true;
    const NetShape own = net_of(case_, wires_->harness()->law());
    for (auto count : {&NetShape::pedal_tracks, &NetShape::throttle_tracks, &NetShape::pedal_feeds,
                       &NetShape::throttle_feeds, &NetShape::variables, &NetShape::elements})
        s.net.*count = std::max(s.net.*count, own.*count);
}

void LaneCase::fill_empty_lane(std::size_t lane) noexcept {
    block_->copy(lane_, lane);
    block_->at(lane, names_.control.scalar) = 0.0;
    block_->at(lane, names_.engine.there) = 0.0;
    LaneFields<double> f{};
    PendingChecks nothing{.open = {}, .foot = false};
    (void)set_supervision(case_.bench, nullptr, {}, nothing, f);
    set_limits(case_, nothing, period_, f);
    put_limits(f, lane, *block_);
}

void LaneCase::begin() {
    if (tick() >= host_at_) host_at_ = ticks_, at(names_.control.scalar) = 1.0;
    if (tick() < event_) return;
    event_ = ticks_;
    follow_stroke();
    follow_faults();
}

void LaneCase::follow_stroke() {
    const auto x = case_.stroke.table().x(), y = case_.stroke.table().y();
    const double now = seconds(time());
    const auto i = static_cast<std::size_t>(std::upper_bound(x.begin(), x.end(), now) - x.begin());
    const bool inside = i > 0 && i < x.size();
    at(names_.schedule.stroke_time) = inside ? x[i - 1] : 0.0;
    at(names_.schedule.stroke_span) = inside ? x[i] - x[i - 1] : 1.0;
    at(names_.schedule.stroke_travel) = i > 0 ? y[i - 1] : y.front();
    at(names_.schedule.stroke_change) = inside ? y[i] - y[i - 1] : 0.0;
    if (i == x.size()) return;
    event_ = std::min(event_, first_tick(x[i], period_));
}

/// The first instant after `now` at which the faults' effects are not what they are.
Time LaneCase::next_change(Time now) const {
    Time next = Time::max();
    for (const fault::Fault& f : faults_.faults()) {
        const bool profile = f.where == "supply" && f.what != "scale";
        if (now < f.from) {
            next = std::min(next, f.from);
        } else if (fault::present(f, now)) {
            if (f.to) next = std::min(next, *f.to);
            if (profile || now < f.from + f.ramp) next = std::min(next, now + period_);
        }
    }
    return next;
}

void LaneCase::follow_faults() {
    if (faults_.empty()) return;
    const Time now = time();
    const bench::Stops wanted = bench::shifted_stops(case_.bench.body.mechanics, effects_ = faults_.effects(now));
    stops_ = bench::held_back(wanted, stops_, get(names_.state.x.angle));
    LaneFields<double> f{};
    apply(effects_, stops_, case_.bench, f);
    const auto copy = [&](const double& member, double value) { at(member) = value; };
    copy(names_.schedule.reference, f.schedule.reference);
    copy(names_.schedule.battery, f.schedule.battery);
    copy(names_.schedule.external_torque, f.schedule.external_torque);
    copy(names_.engine.leak, effects_.leak);
    block_->put(lane_, f, names_.body.motor.resistance, names_.body.inverse_inertia);
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        block_->put(lane_, f, names_.pedal.tracks[k].gain, names_.pedal.tracks[k].noise);
        block_->put(lane_, f, names_.throttle.tracks[k].gain, names_.throttle.tracks[k].noise);
    }
    // A track's fault changes what the net is given, not the net.
    if (wires_ && (wires_->faulty() || wired_for_ != feeds())) follow_wires();
    const Time next = stops_ == wanted ? next_change(now) : now + period_;
    if (next != Time::max()) event_ = std::min(event_, tick_at(next));
}

/// `before`: as it was at the tick before.
control::Input LaneCase::input(bool before) const {
    control::Input in;
    in.time = time();
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        const auto& p = names_.pedal.tracks[k];
        const auto& t = names_.throttle.tracks[k];
        in.pedal[k] = get(before ? p.before : p.reading);
        in.throttle[k] = get(before ? t.before : t.reading);
    }
    in.supply = get(names_.supply);
    in.pedal_reference.fill(get(names_.schedule.reference));
    in.throttle_reference.fill(get(names_.schedule.reference));
    in.motor_current = get(names_.state.x.current);
    if (wires_) wired(in);
    return in;
}

control::Command LaneCase::last_command() const {
    control::Command c;
    c.mode = static_cast<BridgeMode>(static_cast<int>(get(names_.mode)));
    c.duty = get(names_.duty);
    c.pedal = get(names_.pedal_read);
    c.demand = get(names_.demand);
    c.set_point = get(names_.set_point);
    c.opening = get(names_.opening_read);
    return c;
}

Controller::Memory LaneCase::memory() const {
    const auto& l = names_.loop;
    return {get(names_.running) > 0.5,
            {get(l.entry_opening),
             get(l.entry_share),
             get(l.first),
             get(l.second),
             {get(l.pid.integral), get(l.pid.derivative), get(l.pid.last_error)},
             get(l.anchor),
             {get(l.observer.angle), get(l.observer.speed), get(l.observer.load)},
             {get(l.push.blade), get(l.push.time), get(l.push.volts)}},
            get(names_.duty),
            get(names_.pedal_read),
            get(names_.demand),
            get(names_.opening_read)};
}

void LaneCase::take(const control::Command& c) {
    at(names_.mode) = static_cast<double>(static_cast<int>(c.mode));
    at(names_.duty) = c.mode == BridgeMode::drive ? c.duty : 0.0;
    at(names_.pedal_read) = c.pedal, at(names_.demand) = c.demand;
    at(names_.set_point) = c.set_point, at(names_.opening_read) = c.opening;
}

void LaneCase::keep(const Controller::Memory& m) {
    const auto& l = names_.loop;
    at(names_.running) = m.running ? 1.0 : 0.0;
    at(l.entry_opening) = m.loop.entry_opening, at(l.entry_share) = m.loop.entry_share;
    at(l.first) = m.loop.first, at(l.second) = m.loop.second;
    at(l.pid.integral) = m.loop.pid.integral, at(l.pid.derivative) = m.loop.pid.derivative;
    at(l.pid.last_error) = m.loop.pid.last_error;
    at(l.anchor) = m.loop.anchor;
    at(l.observer.angle) = m.loop.observer.angle, at(l.observer.speed) = m.loop.observer.speed;
    at(l.observer.load) = m.loop.observer.load;
    at(l.push.blade) = m.loop.push.blade, at(l.push.time) = m.loop.push.time;
    at(l.push.volts) = m.loop.push.volts;
}

Result LaneCase::result() {
    Result r;
    r.index = index_;
    const Time end = time() - period_;
    r.outcome = {Status::completed, end, {}};
    if (!failure_.empty()) r.outcome = {Status::numerical_failure, failed_at_, failure_};
    if (monitor_) r.codes = monitor_->codes(), r.reaction = reaction_;
    r.reacted_at = reacted_at_;
    r.decided = decided_;
    r.mean_error = get(names_.error_area) / (seconds(period_) * static_cast<double>(tick()));
    r.largest_error = get(names_.largest_error);
    r.largest_opening = get(names_.largest_opening);
    r.final_opening = get(names_.opening);
    r.record = std::move(record_);
    if (learning_) r.learn = learning_->result(end);
    return r;
}

}  // namespace twintrack::lanes
