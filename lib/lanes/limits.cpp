// SPDX-License-Identifier: BSD-3-Clause
#include "limits.hpp"

#include <cmath>

#include "lane_case.hpp"

namespace twintrack::lanes {

namespace {

using monitor::MonitorParameters;
using Learned = std::vector<control::LearnedTrack>;

constexpr double hair = 1e-9;  ///< by which a limit is narrower than the exact one

double limit_if(bool sought, double limit) { return sought ? limit : never; }

/// Where a lost track stays: outside the band on the side that has been confirmed.
Place place_of(double reading, const MonitorParameters& m, const monitor::AssemblyMonitor::Open& open) {
    if (!m.range.enabled) return Place::within;
    if (reading < m.band_low && !open.low) return Place::below;
    return reading > m.band_high && !open.high ? Place::above : Place::within;
}

/// Where a quantity must stay: below its limit as long as that is sought, above it as long as it `lasts`.
void set_pair(bool sought, bool lasts, double limit, double& least, double& most) {
    least = lasts ? limit + hair : -never;
    most = limit_if(sought && !lasts, limit);
}

/// Readings at which nothing of a track changes.
void set_window(const MonitorParameters& m, const monitor::AssemblyMonitor::Open& open, Place place, double reading,
                const control::LearnedTrack& learned, TrackFields<double>& t) {
    const double past = (0.5 + m.drift.limit) * std::fabs(learned.span());
    const double middle = learned.start() + 0.5 * learned.span();
    t.least = place == Place::above ? m.band_high : place == Place::within && open.low ? m.band_low : -never;
    t.most = place == Place::below ? m.band_low : place == Place::within && open.high ? m.band_high : never;
    if (open.drifts)
        reading > middle ? t.least = max(t.least, middle + past) : t.most = min(t.most, middle - past);
    else if (open.drift && place == Place::within)
        t.least = max(t.least, middle - past), t.most = min(t.most, middle + past);
    t.least = t.least + hair, t.most = t.most - hair;
}

/// Largest distance of a learned curve from the straight line through its ends, at its knots and where the first track
/// reads 0 or 1.
double bow_of(const control::LearnedTrack& first, const control::LearnedTrack& t) {
    double bow = 0.0;
    const auto look = [&](double position) {
        bow = max(bow, std::fabs(t.expected(position) - t.start() - t.span() * position));
    };
    for (std::size_t i = 0; i < control::curve_knots; ++i)
        look(static_cast<double>(i) / static_cast<double>(control::curve_knots - 1));
    for (const double reading : {0.0, 1.0}) look(first.linear_position(reading));
    return bow;
}

/// How far the partner's reading may go without the track. A track that looks bad, or whose partner does, begins anew
/// at every tick.
void set_stillness(const MonitorParameters& m, const Learned& learned, std::size_t k,
                   const std::array<Place, sensing::max_tracks>& places, TrackFields<double>& t) {
    constexpr double pieces = static_cast<double>(control::curve_knots - 1);
    const std::size_t partner = k == 0 ? 1 : 0;
    const auto& curve = learned[k == 0 ? 1 : k].curve;
    double least = never, most = 0.0;  // rise of the curve between knots, by its mean
    for (std::size_t i = 0; i + 1 < curve.size(); ++i) {
        const double rise = std::fabs(curve[i + 1] - curve[i]) * pieces / std::fabs(curve.back() - curve.front());
        least = min(least, rise), most = max(most, rise);
    }
    const double share = m.stuck.moved * std::fabs(learned[partner].span());
    t.partner_moved = (k == 0 ? share * least : share / most) - hair;
    t.still = places[k] == Place::within && places[partner] == Place::within ? m.stuck.still : -1.0;
}

/// `slack`: the disagreement with the first track beyond which the controller uses another.
void set_tracks(const MonitorParameters& m, const Learned& learned, const PendingChecks& s, std::size_t side,
                double slack, Time period, AssemblyFields<double>& f) {
    for (TrackFields<double>& t : f.tracks)
        t.least = t.together = -never, t.most = t.apart = t.room = t.jump = t.still = t.partner_moved = never;
    f.others = limit_if(s.open.others[side], m.correlation_limit);
    for (std::size_t k = 0; k < learned.size(); ++k) {
        TrackFields<double>& t = f.tracks[k];
        const auto& open = s.open.tracks[side][k];
        const double span = learned[k].span();
        set_window(m, open, s.places[side][k], s.readings[side][k], learned[k], t);
        t.least = max(t.least, s.windows[side][k].low), t.most = min(t.most, s.windows[side][k].high);
        if (open.stuck) set_stillness(m, learned, k, s.places[side], t);
        t.jump = limit_if(open.rate, m.rate.limit * seconds(period) * std::fabs(span));
        if (k == 0) continue;
        t.apart = min(limit_if(s.open.pairs[side][k], m.correlation_limit), slack);
        t.lead = span / learned[0].span();
        const double share = learned.size() > 2 ? min(t.apart, 0.5 * f.others) : t.apart;  // two of three lean apart
        if (s.doubted[side])
            t.together = 0.5 * m.correlation_limit + hair, t.room = -1.0;
        else if (share < never)
            t.room = share * std::fabs(span) - bow_of(learned[0], learned[k]) - hair;
    }
}

/// How the function monitor reads the tracks of an assembly, and the readings within which it still does so.
bool supervise_side(const bench::BenchParameters& p, const monitor::FunctionMonitor& function_monitor,
                    const control::Readings& readings, std::size_t side, PendingChecks& s, AssemblyFields<double>& f) {
    const monitor::FunctionMonitorCalibration& ends = function_monitor.ends();
    const double full = static_cast<double>((1 << p.acquisition.bits) - 1);
    const auto& tracks = side == 0 ? ends.pedal : ends.throttle;
    const std::size_t count = side == 0 ? ends.pedal_tracks : ends.throttle_tracks;
    monitor::FunctionMonitor::Counts n{};
    for (std::size_t k = 0; k < count; ++k) n[k] = static_cast<std::int32_t>(std::lround(readings[k] * full));
    const monitor::FunctionMonitor::Sight sight = function_monitor.sight(tracks, count, n);
    for (std::size_t k = 0; k < count; ++k) {
        const double low = (ends.lowest - 0.5) / full, high = (ends.highest + 0.5) / full;
        const double span = tracks[k].open - tracks[k].closed;
        Window& window = s.windows[side][k];
        window = sight.sound[k] ? Window{low, high} : n[k] < ends.lowest ? Window{-never, low} : Window{high, never};
        if (sight.asked[k]) f.tracks[k].scale = full / span, f.tracks[k].zero = -tracks[k].closed / span;
    }
    return !sight.by_curve;
}

}  // namespace

PendingChecks all_pending(const bench::BenchParameters& p) {
    const MonitorParameters& m = p.monitor;
    PendingChecks s;
    monitor::Monitor::Open& o = s.open;
    for (const std::size_t side : {0U, 1U}) {
        o.tracks[side].fill({m.range.enabled, m.range.enabled, m.rate.check.enabled, m.drift.check.enabled,
                             m.stuck.check.enabled, false});
        o.pairs[side].fill(m.correlation.enabled);
        o.others[side] = m.correlation.enabled;
    }
    o.deviation = m.deviation.enabled;
    o.motor_open = m.motion.open.enabled, o.overload = m.motion.overload.enabled;
    o.stalled = m.motion.stalled.enabled, o.blocked = m.motion.blocked.enabled, o.against = m.motion.against.enabled;
    o.stuck_open = m.return_spring.check.enabled;
    o.supply_low = o.supply_high = m.supply.check.enabled;
    o.reference_low = o.reference_high = m.reference.check.enabled;
    o.closing = o.deviates = o.misses = o.stands_open = false;
    return s;
}

PendingChecks pending_checks(const bench::BenchParameters& p, const monitor::Monitor& m, const control::Input& in) {
    PendingChecks s{.open = m.open()};
    for (const auto side : {monitor::Assembly::pedal, monitor::Assembly::throttle}) {
        const control::Readings& readings = side == monitor::Assembly::pedal ? in.pedal : in.throttle;
        const auto number = static_cast<std::size_t>(side);
        s.doubted[number] = m.assembly(side).doubted(0) || m.assembly(side).doubted(1);
        const std::size_t tracks = side == monitor::Assembly::pedal ? p.pedal.tracks.size() : p.body.tracks.size();
        s.readings[number] = readings;
        for (std::size_t k = 0; k < tracks; ++k)
            if (m.assembly(side).lost(k))
                s.places[number][k] = place_of(readings[k], p.monitor, s.open.tracks[number][k]);
    }
    return s;
}

void set_limits(const Case& c, const PendingChecks& s, Time period, LaneFields<double>& fields) {
    const std::optional<control::LearnedRange>& learned = c.learned;
    const MonitorParameters& m = c.bench.monitor;
    const monitor::Monitor::Open& open = s.open;
    const monitor::MotionParameters& motion = m.motion;
    ControlFields<double>& f = fields.control;
    set_tracks(m, learned ? learned->pedal : Learned{}, s, 0, limit_if(s.foot, control::Controller::pedal_slack),
               period, fields.pedal);
    set_tracks(m, learned ? learned->throttle : Learned{}, s, 1, never, period, fields.throttle);
    set_pair(open.deviation, open.deviates, m.deviation_limit, f.deviation_least, f.deviation_limit);
    set_pair(open.closing, open.misses, m.deviation_limit, f.closing_least, f.closing_limit);
    const double rest = (learned ? learned->default_opening : 0.0) + m.return_spring.tolerance;
    set_pair(open.stuck_open, open.stands_open, rest, f.default_least, f.default_limit);
    f.duty_limit = limit_if(open.stalled, motion.stalled_duty);
    f.blocked_voltage = limit_if(open.blocked, motion.blocked_voltage);
    f.held_voltage = limit_if(open.blocked, motion.held_voltage);
    f.against_duty = limit_if(open.against, motion.against_duty);
    f.open_voltage = limit_if(open.motor_open, motion.open_voltage);
    f.most_current = limit_if(open.overload, motion.most_current);
    f.default_limit = limit_if(open.stuck_open, (learned ? learned->default_opening : 0.0) + m.return_spring.tolerance);
    f.supply_low = open.supply_low ? m.supply.low : -never;
    f.supply_high = limit_if(open.supply_high, m.supply.high);
    f.reference_low = open.reference_low ? m.reference.low : -never;
    f.reference_high = limit_if(open.reference_high, m.reference.high);
}

bool set_supervision(const bench::BenchParameters& p, const bench::IndependentSupervision* look,
                     const control::Input& in, PendingChecks& s, LaneFields<double>& f) {
    SupervisionFields<double>& w = f.supervision;
    w = {};
    w.margin = w.foot_apart = w.blade_apart = w.half_lag = w.most_current = w.volts_high = never;
    w.foot_together = w.volts_low = w.least_supply = -never;
    if (look && look->guarded()) {
        const monitor::ShutdownDeviceParameters& d = p.monitor.device;
        w.volts_low = d.throttle_low, w.volts_high = d.throttle_high, w.least_supply = d.least_supply;
    }
    const monitor::FunctionMonitor* function_monitor = look ? look->watching() : nullptr;
    if (!function_monitor) return true;
    const monitor::FunctionMonitorParameters& q = p.monitor.function_monitor;
    const auto thousandths = [](double share) { return std::round(1000.0 * share) / 1000.0; };
    w.idle = thousandths(q.idle), w.margin = thousandths(q.margin) + 0.001 - hair;  // beyond is a thousandth more
    w.blade_apart = thousandths(q.apart) - hair;
    w.limited = function_monitor->limited() ? p.monitor.ladder.limited.demand_limit : never;
    w.half_lag = static_cast<double>(function_monitor->looks_back() / 2), w.best = w.before = w.idle;
    w.most_current = q.most_current;
    if (function_monitor->foot_apart())
        w.foot_together = q.apart + watch_slack;
    else
        w.foot_apart = w.blade_apart;
    const bool foot = supervise_side(p, *function_monitor, in.pedal, 0, s, f.pedal);
    return supervise_side(p, *function_monitor, in.throttle, 1, s, f.throttle) && foot;
}

void put_limits(const LaneFields<double>& f, std::size_t lane, Block& block) {
    const LaneFields<double>& names = Block::names();
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        for (const auto* side : {&names.pedal, &names.throttle}) {
            block.put(lane, f, side->tracks[k].jump, side->tracks[k].partner_moved);
            block.put(lane, f, side->tracks[k].scale, side->tracks[k].zero);
        }
    }
    block.put(lane, f, names.supervision.idle, names.supervision.least_supply);
    for (const double* limit : {&names.pedal.others, &names.throttle.others}) block.put(lane, f, *limit, *limit);
    block.put(lane, f, names.control.deviation_least, names.control.reference_high);
}

}  // namespace twintrack::lanes
