// SPDX-License-Identifier: BSD-3-Clause
#include <bit>
#include <cmath>

#include "lane_case.hpp"
#include "limits.hpp"
#include "twintrack/bench/electronics.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/exponential.hpp"
#include "twintrack/wiring/pickup.hpp"

namespace twintrack::lanes {

namespace {

void set_pieces(const sensing::Track& track, TrackFields<double>& f) {
    for (auto& piece : f.pieces) piece = {never, 0.0, 0.0};
    for (std::size_t i = 0; i < track.pieces().size(); ++i) f.pieces[i] = track.pieces()[i];
}

void set_tracks(const std::vector<sensing::TrackParameters>& list, const std::vector<control::LearnedTrack>& learned,
                double position, const std::array<sensing::TrackEffect, sensing::max_tracks>& effects, int seed,
                std::uint32_t channel, AssemblyFields<double>& out) {
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        TrackFields<double>& f = out.tracks[k];
        f.span = 1.0;
        if (k >= list.size()) continue;
        sensing::Track track(list[k]);
        track.lay(sensing::grains_of(seed, channel + static_cast<std::uint32_t>(k)));
        set_pieces(track, f);
        f.bow = list[k].bow, f.hysteresis = list[k].hysteresis;
        f.roughness = sensing::grain_factor * list[k].roughness, f.grains = 1.0 / list[k].grain, f.grain = -1.0;
        f.low = track.low(), f.high = track.high(), f.rest = track.rest();
        f.played = position;
        f.last = track.read(position, effects[k]);
        f.there = 1.0;
        if (k < learned.size()) f.start = learned[k].start(), f.span = learned[k].span();
    }
}

void set_map(const Table& map, ControlFields<double>& f) {
    const auto x = map.x(), y = map.y();
    for (std::size_t i = 0; i < most_pieces; ++i) {
        const bool inner = i + 1 < x.size();
        f.map[i] = {i < x.size() ? x[i] : never, i < x.size() ? y[i] : 0.0, inner ? y[i + 1] - y[i] : 0.0};
        f.map_span[i] = inner ? x[i + 1] - x[i] : 1.0;
    }
}

void set_control(const Case& c, const control::Controller& controller, ControlFields<double>& f) {
    const monitor::MonitorParameters& m = c.bench.monitor;
    f.loop = controller.loop();
    f.watch_time = static_cast<double>(controller.watch_time().count());
    f.run_time = static_cast<double>(controller.run_time().count());
    f.twitch = controller.twitch();
    const auto& map = c.bench.controller.pedal_map;
    set_map(Table(map.pedal, map.opening), f);
    f.orders = {};
    f.orders.off_mode = 2.0, f.orders.demand_limit = 1.0, f.orders.least = Table(map.pedal, map.opening)(0.0);
    f.orders.slack = control::Controller::pedal_slack;
    f.blocked_current = m.motion.blocked_current;
    f.held_error = m.motion.held_error;
    f.against_speed = m.motion.against_speed;
    f.pace = monitor::speed_filter(from_seconds(c.bench.control_period));
    f.open_current = m.motion.open_current;
}

void set_schedule(const bench::BenchParameters& p, Time period, int substeps, ScheduleFields<double>& f) {
    f.period = static_cast<double>(period.count());
    f.closed = p.body.mechanics.stops.closed_angle;
    f.travel = p.body.mechanics.stops.open_angle - f.closed;
    f.supply_resistance = p.bridge.supply_resistance;
    f.switches = 2.0 * p.bridge.switch_resistance;
    f.limit = p.bridge.current_limit;
    f.diodes = 2.0 * p.bridge.diode_drop;
    const auto& a = p.acquisition;
    f.decay = a.filter_time > 0.0 ? exponential(-seconds(period) / a.filter_time) : 0.0;
    f.full_scale = static_cast<double>((1 << a.bits) - 1);
    f.ratiometric = a.ratiometric ? 1.0 : 0.0;
    f.nominal = a.nominal_reference;
    f.key_seed = std::bit_cast<double>(static_cast<std::uint64_t>(p.seed));
    f.key_case = std::bit_cast<double>(static_cast<std::uint64_t>(p.case_number));
    f.substep = seconds(period) / substeps;
}

void set_effects(const std::array<sensing::TrackEffect, sensing::max_tracks>& effects,
                 const std::vector<sensing::TrackParameters>& list, AssemblyFields<double>& f) {
    for (std::size_t k = 0; k < list.size(); ++k) {
        TrackFields<double>& t = f.tracks[k];
        t.gain = effects[k].gain, t.offset = effects[k].offset, t.frozen = effects[k].frozen ? 1.0 : 0.0;
        t.noise = list[k].noise + effects[k].noise;
    }
}

void refuse_unless(bool good, const char* where, const std::string& message) {
    if (!good) throw InvalidParameter(where, message);
}

void check_tracks(const std::vector<sensing::TrackParameters>& tracks, const char* where) {
    for (const auto& t : tracks)
        refuse_unless(t.position.size() <= most_pieces + 1, where,
                      "lanes take tracks of at most " + std::to_string(most_pieces + 1) + " knots; got " +
                          std::to_string(t.position.size()));
}

void check_effects(const Case& c) {
    const bool metered = c.bench.engine && c.bench.engine->mixture.metered;
    for (const fault::Fault& f : c.faults) {
        refuse_unless(f.where != "manifold" || !metered, "faults",
                      "a leak that leans the mixture is not for lanes; run the case in the exact solver");
        refuse_unless(f.what != "lag", "faults",
                      "a box that delays the pedal's signals is not for lanes; run the case in the exact solver");
    }
}

/// Those that grow are resistors of the net that change at each tick.
void check_wires(const Case& c) {
    const fault::Schedule schedule(c.faults);
    if (schedule.wiring().empty()) return;
    int growing = 0;
    for (const fault::Fault& f : schedule.wiring()) {
        growing += f.ramp > Time{} ? 1 : 0;
        refuse_unless(f.every == Time{}, "faults",
                      "what comes and goes between ticks is not for lanes; run the case in the exact solver");
    }
    refuse_unless(growing <= most_variables, "faults",
                  "lanes take " + std::to_string(most_variables) + " growing faults of the wiring; got " +
                      std::to_string(growing));
    bench::Wires(c.bench, schedule, from_seconds(c.bench.control_period));  // refuses places that are not there
}

void set_pickups(const bench::BenchParameters& p, const std::vector<sensing::TrackParameters>& tracks,
                 AssemblyFields<double>& f) {
    if (p.wiring.kind == bench::WiringKind::ideal) return;
    for (std::size_t k = 0; k < tracks.size(); ++k)
        f.tracks[k].pickup = wiring::pickup(p.wiring.harness, tracks[k], p.acquisition.filter_time);
}

}  // namespace

int substeps_of(Time period, double longest) {
    return static_cast<int>(std::ceil(seconds(period) / longest - 1e-9));  // 1 ms hold 5 of 0.2 ms, not 6
}

void check(const Case& c) {
    validate(c.bench, "bench");
    refuse_unless(c.bench.body.mechanics.friction.kind == plant::FrictionKind::bristle,
                  "bench.body.mechanics.friction.kind", "lanes run with bristle friction only");
    refuse_unless(c.bench.body.mechanics.backlash.play == 0.0, "bench.body.mechanics.backlash.play",
                  "lanes know no backlash; run the case in the exact solver");
    check_tracks(c.bench.pedal.tracks, "bench.pedal.tracks");
    check_tracks(c.bench.body.tracks, "bench.body.tracks");
    const std::size_t knots = c.bench.controller.pedal_map.pedal.size();
    refuse_unless(
        knots <= most_pieces, "bench.controller.pedal_map.pedal",
        "lanes take pedal maps of at most " + std::to_string(most_pieces) + " knots; got " + std::to_string(knots));
    bench::check_faults(c.faults, c.bench.engine.has_value(), c.bench.pedal.idle_switch.fitted);
    refuse_unless(!c.bench.pedal.idle_switch.fitted, "bench.pedal.idle_switch",
                  "lanes know no idle switch; run the case in the exact solver");
    check_effects(c);
    check_wires(c);
    if (const auto reason = bench::exact_only(c.bench, c.faults, c.duration.value_or(c.stroke.duration())))
        throw InvalidParameter(reason->where, reason->why);
    if (c.duration) require(*c.duration, {0.0, 1e6}, "duration", "s", "length of the run");
}

void apply(const fault::Effects& e, const bench::Stops& stops, const bench::BenchParameters& p, LaneFields<double>& f) {
    f.body = body_coefficients(plant::coefficients(bench::faulted_mechanics(p.body.mechanics, e, stops)));
    f.schedule.reference = p.reference * e.reference;
    f.schedule.battery = bench::battery_voltage(p.supply, e);
    f.schedule.external_torque = e.external_torque;
    set_effects(e.pedal, p.pedal.tracks, f.pedal);
    set_effects(e.throttle, p.body.tracks, f.throttle);
}

LaneFields<double> first_fields(const Case& c, const control::Controller& controller, const fault::Effects& effects,
                                const bench::Stops& stops, Time period, int substeps) {
    LaneFields<double> f{};
    const bench::BenchParameters& p = c.bench;
    set_schedule(p, period, substeps, f.schedule);
    const double angle = clamp(p.body.mechanics.springs.rest_angle, stops.closed, stops.open);
    const auto& learned = controller.learned();
    const std::vector<control::LearnedTrack> none;
    set_tracks(p.pedal.tracks, learned ? learned->pedal : none, c.stroke.travel(Time{}), effects.pedal, p.seed,
               sensing::channels::pedal_noise, f.pedal);
    set_tracks(p.body.tracks, learned ? learned->throttle : none, (angle - f.schedule.closed) / f.schedule.travel,
               effects.throttle, p.seed, sensing::channels::throttle_noise, f.throttle);
    set_pickups(p, p.pedal.tracks, f.pedal);
    set_pickups(p, p.body.tracks, f.throttle);
    set_control(c, controller, f.control);
    PendingChecks all = all_pending(c.bench);
    (void)set_supervision(c.bench, nullptr, {}, all, f);
    set_limits(c, all, period, f);
    f.mode = 2.0;
    f.state.x.angle = angle;
    apply(effects, stops, p, f);
    for (AssemblyFields<double>* side : {&f.pedal, &f.throttle})
        for (TrackFields<double>& t : side->tracks) t.before = t.reading;
    return f;
}

}  // namespace twintrack::lanes
