// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/monitor.hpp"

#include <algorithm>

#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::monitor {

namespace {

constexpr std::size_t pedal_side = 0, throttle_side = 1;

MonitorParameters checked(const MonitorParameters& p, Time period) {
    validate(p, "monitor");
    if (period <= Time{0}) throw InvalidParameter("monitor.period", "the period of the tick must be positive");
    return p;
}

std::vector<control::LearnedTrack> tracks_of(const std::optional<control::LearnedRange>& learned,
                                             std::vector<control::LearnedTrack> control::LearnedRange::*side) {
    return learned ? (*learned).*side : std::vector<control::LearnedTrack>{};
}

constexpr CheckParameters fact{};  ///< of what needs no debouncing

}  // namespace

Monitor::Monitor(const MonitorParameters& p, std::optional<control::LearnedRange> learned, std::size_t pedal_tracks,
                 std::size_t throttle_tracks, Time period, std::optional<TroubleCode> memory, FaultMemory history)
    : p_(checked(p, period)),
      learned_(learned.has_value()),
      default_opening_(learned ? learned->default_opening : 0.0),
      tracks_{learned ? std::min(learned->pedal.size(), pedal_tracks) : pedal_tracks,
              learned ? std::min(learned->throttle.size(), throttle_tracks) : throttle_tracks},
      refused_(memory.has_value()),
      checks_(period, std::move(history)),
      pedal_(p, Assembly::pedal, tracks_of(learned, &control::LearnedRange::pedal), pedal_tracks, period, checks_),
      throttle_(p, Assembly::throttle, tracks_of(learned, &control::LearnedRange::throttle), throttle_tracks, period,
                checks_),
      motion_(p.motion, period),
      air_flow_(p.air_flow),
      idle_speed_(p.idle_speed, period),
      table_(p.reactions, period) {
    n_.memory = checks_.add(Check::memory, {}, fact, memory.value_or(memory_damaged()));
    n_.not_learned = checks_.add(Check::not_learned, {}, fact, monitor::not_learned());
    add_blade();
    add_surroundings();
    for (std::size_t k = 0; k < events_.size(); ++k)
        events_[k].place = checks_.add_event(entry_of(static_cast<Event>(k)));
    add_electronics();
}

void Monitor::add_blade() {
    const auto add = [&](Check c, const CheckParameters& check, TroubleCode code) {
        return checks_.add(c, {}, check, std::move(code));
    };
    n_.default_wrong = add(Check::self_test, fact, default_wrong());
    n_.no_twitch = add(Check::self_test, fact, no_twitch());
    n_.no_return = add(Check::self_test, fact, no_return());
    n_.deviation = add(Check::deviation, p_.deviation, deviation());
    n_.not_closing = add(Check::not_closing, p_.not_closing, not_closing());
    n_.open = add(Check::motion, p_.motion.open, motor_open());
    n_.overload = add(Check::motion, p_.motion.overload, motor_overload());
    n_.stalled = add(Check::motion, p_.motion.stalled, motor_stalled());
    n_.blocked = add(Check::motion, p_.motion.blocked, motor_stalled());
    n_.against = add(Check::motion, p_.motion.against, motor_against());
    n_.stuck_open = add(Check::return_spring, p_.return_spring.check, no_return());
    n_.default_position = add(Check::default_position, p_.default_position.check, default_wrong());
    for (const std::size_t number : {n_.deviation, n_.not_closing, n_.stuck_open}) checks_.may_last(number);
}

void Monitor::add_surroundings() {
    const auto add = [&](Check c, const CheckParameters& check, TroubleCode code) {
        return checks_.add(c, {}, check, std::move(code));
    };
    n_.supply_low = add(Check::supply, p_.supply.check, supply_low());
    n_.supply_high = add(Check::supply, p_.supply.check, supply_high());
    for (const Assembly a : {Assembly::pedal, Assembly::throttle}) {
        const auto side = static_cast<std::size_t>(a);
        n_.blind[side] = checks_.add(Check::blind, a, p_.blind, blind(a));
        n_.reference_low[side] = checks_.add(Check::reference, a, p_.reference.check, reference_low(a));
        n_.reference_high[side] = checks_.add(Check::reference, a, p_.reference.check, reference_high(a));
    }
    n_.brake = add(Check::brake, p_.brake.check, brake_and_pedal());
    n_.brake_low = add(Check::brake_sensor, p_.brake.sensor, brake_low());
    n_.brake_high = add(Check::brake_sensor, p_.brake.sensor, brake_high());
    n_.idle_switch = add(Check::idle_switch, p_.idle_switch.check, idle_switch());
    n_.air_flow = add(Check::air_flow, p_.air_flow.check, high_air_flow());
    n_.idle_low = add(Check::idle_speed, p_.idle_speed.low, idle_low());
    n_.idle_high = add(Check::idle_speed, p_.idle_speed.high, idle_high());
    n_.idle_system = add(Check::idle_speed, p_.idle_speed.system, idle_system());
}

/// An assembly without a valid track for too long in total. What is confirmed by a code of its own counts no
/// further: the table has spoken of that.
void Monitor::check_sight() noexcept {
    const auto unseen = [&](const AssemblyMonitor& a) { return !a.sees() && a.left() > 0 && !a.undecided(checks_); };
    checks_.step(n_.blind[pedal_side], unseen(pedal_));
    checks_.step(n_.blind[throttle_side], unseen(throttle_));
}

/// The result of the controller's own test at key-on; it is confirmed at once.
void Monitor::check_self_test(const control::Command& last) noexcept {
    using T = control::SelfTest;
    if (!control::failed(last.self_test)) return;
    checks_.state(last.self_test == T::default_wrong ? n_.default_wrong
                  : last.self_test == T::no_twitch   ? n_.no_twitch
                                                     : n_.no_return);
}

void Monitor::check_blade(const control::Input& in, const control::Command& last) noexcept {
    const bool drive = driven(last);
    const double away = drive ? abs(last.set_point - last.opening) : 0.0;
    checks_.step(n_.deviation, away > p_.deviation_limit);
    const auto found = motion_.step(last, in.motor_current, in.supply);
    checks_.step(n_.open, found.open);
    checks_.step(n_.overload, found.overload);
    checks_.step(n_.stalled, found.stalled && away > 0.5 * p_.deviation_limit);  // deposits may hold it a little off
    checks_.step(n_.blocked, found.blocked);
    checks_.step(n_.against, found.against);
    powered_ = powered_ || drive;
    const bool known = blade_known();
    checks_.step(n_.stuck_open, known && open_beyond(p_.return_spring.tolerance, default_opening_, last));
    checks_.step(n_.default_position,
                 known && !powered_ && away_from(p_.default_position.tolerance, default_opening_, last));
}

/// The second stage of IC.4.7.1 and IC.4.7.2: the power is gone for brake or deviation, and the blade does not follow.
void Monitor::check_closing(const control::Input& in, const control::Command& last) noexcept {
    const bool off = !driven(last) && !p_.ladder.of(reaction_).motor_permitted;
    const bool misses = checks_.confirmed(n_.deviation) && abs(last.opening - last.demand) > p_.deviation_limit;
    const bool braked = in.brake_applied && last.opening > p_.brake.opening;
    checks_.step(n_.not_closing, off && blade_known() && (misses || braked));
}

void Monitor::check_surroundings(const control::Input& in, const control::Command& last) noexcept {
    checks_.step(n_.supply_low, in.supply < p_.supply.low);
    checks_.step(n_.supply_high, in.supply > p_.supply.high);
    const bool regulated = in.supply >= p_.electronics.least_supply;
    const std::array<const control::Readings*, 2> references{&in.pedal_reference, &in.throttle_reference};
    for (const std::size_t side : {pedal_side, throttle_side}) {
        bool low = false, high = false;
        for (std::size_t k = 0; k < tracks_[side]; ++k) {
            low = low || (regulated && (*references[side])[k] < p_.reference.low);
            high = high || (*references[side])[k] > p_.reference.high;
        }
        checks_.step(n_.reference_low[side], low);
        checks_.step(n_.reference_high[side], high);
    }
    checks_.step(n_.brake, in.brake_applied && learned_ && last.opening > p_.brake.opening);
    checks_.step(n_.brake_low, in.brake < p_.brake.band_low);
    checks_.step(n_.brake_high, in.brake > p_.brake.band_high);
    checks_.step(n_.idle_switch, learned_ && contradicts(p_.idle_switch, in.idle_contact, last.pedal));
    checks_.step(n_.air_flow, learned_ && air_flow_.too_much(last.opening, in.air_flow));
}

/// A reaction in force drives the blade elsewhere than the governor's request.
void Monitor::check_idle(const control::Input& in, const control::Command& last) noexcept {
    const auto found = idle_speed_.step(in.engine, last.pedal, reaction_ != Reaction::none);
    checks_.step(n_.idle_low, found.low);
    checks_.step(n_.idle_high, found.high);
    checks_.step(n_.idle_system, found.system);
}

void Monitor::note(Event e) noexcept {
    Noted& n = events_[static_cast<std::size_t>(e)];
    if (!n.there) checks_.happened(n.place);
    n.there = true;
}

/// An engine that stops without key, ladder or device having ordered it; the entry heals when it runs again.
void Monitor::watch_engine(const control::Input& in) noexcept {
    const bool device = noted(Event::device_conflict) || noted(Event::device_brake) || noted(Event::device_throttle) ||
                        noted(Event::device_supply);
    if (ran_ && !in.engine.running && in.key_on && action().fuel_permitted && !device) note(Event::engine_stall);
    ran_ = in.engine.running;
    Noted& n = events_[static_cast<std::size_t>(Event::engine_stall)];
    if (ran_ && n.there) checks_.over(n.place), n.there = false;
}

Reaction Monitor::step(const control::Input& in, const control::Command& last) noexcept {
    checks_.begin(in, last, reaction_);
    if (refused_) checks_.state(n_.memory);
    if (!learned_) checks_.state(n_.not_learned);
    check_self_test(last);
    pedal_.step(in.pedal, in.pedal_reference, checks_);
    throttle_.step(in.throttle, in.throttle_reference, checks_);
    check_sight();
    check_blade(in, last);
    check_surroundings(in, last);
    check_electronics(in);
    check_closing(in, last);
    check_idle(in, last);
    watch_engine(in);
    Findings f;
    checks_.tell(f);
    f.confirmed[static_cast<std::size_t>(Check::correlation)] = {pedal_.undecided(checks_),
                                                                 throttle_.undecided(checks_)};
    f.left = {pedal_.left(), throttle_.left()};
    f.pedal = last.pedal;
    f.opening = last.opening;
    f.default_opening = default_opening_;
    return reaction_ = table_.step(f);
}

/// What open() leaves out must be over by itself.
bool Monitor::settled() const noexcept {
    const auto over = [this](std::size_t number) { return checks_.at_rest(number) || checks_.spent(number); };
    for (const std::size_t number : {n_.blocked, n_.brake, n_.brake_low, n_.brake_high, n_.idle_switch})
        if (!over(number)) return false;
    return checks_.lasting() && table_.lasting() && pedal_.settled(checks_) && throttle_.settled(checks_) &&
           (powered_ || checks_.spent(n_.default_position));
}

Monitor::Open Monitor::open() const noexcept {
    const auto is = [this](std::size_t number) { return !checks_.spent(number); };
    Open o;
    for (const auto* a : {&pedal_, &throttle_}) {
        const std::size_t side = a == &pedal_ ? pedal_side : throttle_side;
        for (std::size_t k = 0; k < tracks_[side]; ++k) {
            o.tracks[side][k] = a->open(k, checks_);
            o.pairs[side][k] = a->open(0, k, checks_);
        }
        o.others[side] = a->open(1, 2, checks_);
    }
    o.deviation = is(n_.deviation);
    o.closing = is(n_.not_closing) && checks_.confirmed(n_.deviation) && blade_known();
    o.motor_open = is(n_.open), o.overload = is(n_.overload), o.stalled = is(n_.stalled), o.blocked = is(n_.blocked);
    o.against = is(n_.against);
    o.stuck_open = is(n_.stuck_open) && blade_known();
    o.deviates = checks_.timer_runs(n_.deviation), o.misses = checks_.timer_runs(n_.not_closing);
    o.stands_open = checks_.timer_runs(n_.stuck_open);
    o.supply_low = is(n_.supply_low), o.supply_high = is(n_.supply_high);
    o.reference_low = is(n_.reference_low[pedal_side]) || is(n_.reference_low[throttle_side]);
    o.reference_high = is(n_.reference_high[pedal_side]) || is(n_.reference_high[throttle_side]);
    return o;
}

void Monitor::pass(std::int64_t ticks, const control::Input& last, const MotionCheck::Seen& blade,
                   const std::array<AssemblyMonitor::Anchors, 2>& anchors) noexcept {
    checks_.pass(ticks);
    pedal_.pass(ticks, last.pedal, anchors[pedal_side]);
    throttle_.pass(ticks, last.throttle, anchors[throttle_side]);
    motion_.resume(blade);
}

void Monitor::restart() noexcept {
    checks_.restart();
    pedal_.restart();
    throttle_.restart();
    motion_.restart();
    idle_speed_.restart();
    table_.restart();
    for (Noted& n : events_) n.there = false;
    resets_.clear();
    powered_ = ran_ = false;
    reaction_ = reported_ = Reaction::none;
}

void Monitor::order(control::Input& in) const noexcept {
    monitor::order(action(), in);
    trust(in);
}

void Monitor::trust(control::Input& in) const noexcept {
    in.pedal_trust = pedal_.trust();
    in.throttle_trust = throttle_.trust();
}

}  // namespace twintrack::monitor
