// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/monitor.hpp"

#include <algorithm>

#include "twintrack/core/number.hpp"

namespace twintrack::monitor {

namespace {

MonitorParameters checked(const MonitorParameters& p, Time period) {
    validate(p, "monitor");
    if (period <= Time{0}) throw InvalidParameter("monitor.period", "the period of the tick must be positive");
    return p;
}

Debounce debounce(const CheckParameters& c, Time period) {
    return {period, from_seconds(c.confirm_time), from_seconds(c.heal_time), c.latch};
}

/// How far tracks `i` < `j` disagree, as a share of travel: each further track is held against what the first track
/// makes it expect, and two further tracks against each other by the same measure.
double disagreement(const std::vector<control::LearnedTrack>& tracks, std::size_t i, std::size_t j,
                    const control::Readings& readings) noexcept {
    if (i == 0) return control::mismatch(tracks, j, readings);
    const double position = tracks[0].linear_position(readings[0]);
    const auto lead = [&](std::size_t k) { return (readings[k] - tracks[k].expected(position)) / tracks[k].span(); };
    return abs(lead(i) - lead(j));
}

}  // namespace

Monitor::Monitor(const MonitorParameters& p, std::optional<control::LearnedRange> learned, std::size_t pedal_tracks,
                 std::size_t throttle_tracks, Time period, std::optional<TroubleCode> memory)
    : p_(checked(p, period)),
      learned_(learned.has_value()),
      pedal_(watch(Assembly::pedal, learned ? learned->pedal : std::vector<control::LearnedTrack>{}, pedal_tracks,
                   period)),
      throttle_(watch(Assembly::throttle, learned ? learned->throttle : std::vector<control::LearnedTrack>{},
                      throttle_tracks, period)),
      memory_(std::move(memory)),
      deviates_(debounce(p.deviation, period)) {}

Monitor::AssemblyWatch Monitor::watch(Assembly a, std::vector<control::LearnedTrack> learned, std::size_t tracks,
                                      Time period) const {
    const std::size_t count = learned_ ? learned.size() : tracks;
    if (count < 2 || count > sensing::max_tracks)
        throw InvalidParameter(a == Assembly::pedal ? "monitor.pedal" : "monitor.throttle",
                               "two or three tracks are needed; got " + std::to_string(count));
    AssemblyWatch w{a, std::move(learned), {}, {}};
    for (std::size_t k = 0; k < count; ++k)
        w.tracks.push_back({debounce(p_.range, period), debounce(p_.range, period)});
    if (learned_)
        for (std::size_t i = 0; i + 1 < count; ++i)
            for (std::size_t j = i + 1; j < count; ++j) w.pairs.push_back({i, j, debounce(p_.correlation, period)});
    return w;
}

void Monitor::report(TroubleCode code, Time now) {
    const auto same = [&](const TroubleCode& c) { return c.code == code.code && c.failure_type == code.failure_type; };
    if (std::any_of(codes_.begin(), codes_.end(), same)) return;
    code.confirmed = now;
    codes_.push_back(std::move(code));
}

bool Monitor::check_range(AssemblyWatch& w, const control::Readings& readings, Time now) {
    bool bad = false;
    for (std::size_t k = 0; k < w.tracks.size(); ++k) {
        TrackWatch& track = w.tracks[k];
        if (track.low.step(readings[k] < p_.band_low)) report(range_low(w.assembly, k), now);
        if (track.high.step(readings[k] > p_.band_high)) report(range_high(w.assembly, k), now);
        bad = bad || track.low.confirmed() || track.high.confirmed();
    }
    return bad;
}

bool Monitor::check_correlation(AssemblyWatch& w, const control::Readings& readings, Time now) {
    bool bad = false;
    for (PairWatch& pair : w.pairs) {
        const double d = disagreement(w.learned, pair.first, pair.second, readings);
        if (pair.differs.step(d > p_.correlation_limit)) report(correlation(w.assembly, pair.first, pair.second), now);
        bad = bad || pair.differs.confirmed();
    }
    return bad;
}

bool Monitor::check_deviation(const control::Command& last, Time now) {
    const bool away = last.mode == plant::BridgeMode::drive && abs(last.set_point - last.opening) > p_.deviation_limit;
    if (deviates_.step(away)) report(deviation(), now);
    return deviates_.confirmed();
}

/// What the controller's own test at key-on said; it is believed at once.
bool Monitor::check_self_test(const control::Command& last, Time now) {
    if (!control::failed(last.self_test)) return self_test_failed_;
    const bool wrong = last.self_test == control::SelfTest::default_wrong;
    const bool stuck = last.self_test == control::SelfTest::no_twitch;
    report(wrong ? default_wrong() : stuck ? no_twitch() : no_return(), now);
    return self_test_failed_ = true;
}

Reaction Monitor::step(const control::Input& in, const control::Command& last) {
    bool bad = !learned_;
    if (memory_) report(*memory_, in.time);
    if (!learned_) report(not_learned(), in.time);
    bad |= check_self_test(last, in.time);
    for (AssemblyWatch* w : {&pedal_, &throttle_}) {
        const control::Readings& readings = w->assembly == Assembly::pedal ? in.pedal : in.throttle;
        if (p_.range.enabled) bad |= check_range(*w, readings, in.time);
        if (p_.correlation.enabled) bad |= check_correlation(*w, readings, in.time);
    }
    if (p_.deviation.enabled) bad |= check_deviation(last, in.time);
    reaction_ = bad ? Reaction::motor_off : Reaction::none;
    return reaction_;
}

}  // namespace twintrack::monitor
