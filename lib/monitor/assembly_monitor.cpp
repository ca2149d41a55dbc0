// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/assembly_monitor.hpp"

#include <algorithm>

#include "twintrack/core/error.hpp"

namespace twintrack::monitor {

namespace {

std::size_t count(Assembly a, const std::vector<control::LearnedTrack>& learned, std::size_t tracks) {
    const std::size_t n = learned.empty() ? tracks : learned.size();
    if (n < 2 || n > sensing::max_tracks)
        throw InvalidParameter(a == Assembly::pedal ? "monitor.pedal" : "monitor.throttle",
                               "two or three tracks are needed; got " + std::to_string(n));
    return n;
}

CheckParameters only_if(bool enabled, CheckParameters p) {
    p.enabled = p.enabled && enabled;
    return p;
}

}  // namespace

AssemblyMonitor::AssemblyMonitor(const MonitorParameters& p, Assembly assembly,
                                 std::vector<control::LearnedTrack> learned, std::size_t tracks, Time period,
                                 DebouncedChecks& checks)
    : assembly_(assembly),
      p_(p),
      line_(assembly == Assembly::pedal ? p.volts.pedal : p.volts.throttle),
      learned_(std::move(learned)),
      period_(period),
      believe_after_(from_seconds(p.fallback_time)) {
    const std::size_t n = count(assembly, learned_, tracks);
    for (std::size_t k = 0; k < n; ++k) add_track(k, p, checks);
    const bool known = !learned_.empty();
    for (std::size_t i = 0; known && i + 1 < n; ++i)
        for (std::size_t j = i + 1; j < n; ++j)
            pairs_.push_back(
                {i, j, checks.add(Check::correlation, assembly, p.correlation, correlation(assembly, i, j))});
    volts_ = checks.add(Check::volts, assembly, only_if(line_.enabled, p.volts.check), correlation(assembly, 0, 1));
}

void AssemblyMonitor::add_track(std::size_t k, const MonitorParameters& p, DebouncedChecks& checks) {
    const bool known = !learned_.empty();
    const double span = known ? learned_[k].span() : 1.0;
    const auto add = [&](Check c, const CheckParameters& check, TroubleCode code) {
        return checks.add(c, assembly_, check, std::move(code));
    };
    const CheckParameters volts = only_if(p.volts_band.enabled, p.range);
    CheckParameters voted = p.correlation;
    voted.confirm_time = -1e-6;  // at once: the pairs are debounced already
    tracks_.push_back(
        {add(Check::range, p.range, range_low(assembly_, k)), add(Check::range, p.range, range_high(assembly_, k)),
         add(Check::range, volts, range_low(assembly_, k)), add(Check::range, volts, range_high(assembly_, k)),
         add(Check::rate, only_if(known, p.rate.check), rate_impossible(assembly_, k)),
         add(Check::stuck, only_if(known, p.stuck.check), track_stuck(assembly_, k)),
         add(Check::drift, only_if(known, p.drift.check), stop_drifted(assembly_, k)),
         add(Check::outvoted, only_if(known, voted), track_outvoted(assembly_, k)), RateCheck(p.rate, period_, span),
         StuckCheck(p.stuck)});
    tracks_.back().good = believe_after_;
    checks.may_last(tracks_.back().drift);
}

void AssemblyMonitor::restart() noexcept {
    for (TrackWatch& t : tracks_) {
        t.jump.restart();
        t.still.restart();
        t.lost = false;
        t.good = believe_after_;
    }
    for (PairWatch& pair : pairs_) pair.apart = false;
    trust_ = {true, true, true};
}

int AssemblyMonitor::left() const noexcept {
    return static_cast<int>(std::count_if(tracks_.begin(), tracks_.end(), [](const TrackWatch& t) { return !t.lost; }));
}

bool AssemblyMonitor::settled(const DebouncedChecks& checks) const noexcept {
    // With three tracks the vote is by the distance between them.
    if (tracks_.size() > 2 && left() > 2 && undecided(checks)) return false;
    for (std::size_t k = 0; k < tracks_.size(); ++k) {
        const TrackWatch& t = tracks_[k];
        if (t.jump.holds() && (!checks.spent(t.rate) || p_.stuck.check.enabled)) return false;
        if (!t.lost && t.good < believe_after_ && !doubted(k)) return false;
    }
    return true;
}

bool AssemblyMonitor::doubted(std::size_t k) const noexcept {
    if (tracks_.size() != 2 || pairs_.empty()) return false;
    const TrackWatch &t = tracks_[k], &other = tracks_[1 - k];
    return !t.lost && t.good < Time{0} && !t.jump.holds() && trust_[1 - k] && other.good >= believe_after_;
}

AssemblyMonitor::Anchors AssemblyMonitor::anchors() const noexcept {
    Anchors all{};
    for (std::size_t k = 0; k < tracks_.size(); ++k) all[k] = tracks_[k].still.anchor();
    return all;
}

void AssemblyMonitor::pass(std::int64_t ticks, const control::Readings& readings, const Anchors& anchors) noexcept {
    for (std::size_t k = 0; k < tracks_.size(); ++k) {
        tracks_[k].jump.pass(ticks, readings[k]);
        if (p_.stuck.check.enabled && !learned_.empty())
            tracks_[k].still.resume(anchors[k], expected(k, anchors[k].reading));
    }
}

AssemblyMonitor::Open AssemblyMonitor::open(std::size_t k, const DebouncedChecks& checks) const noexcept {
    const TrackWatch& t = tracks_[k];
    const bool jumps = p_.stuck.check.enabled && p_.rate.check.enabled;  // they begin the other check anew
    return {!checks.spent(t.low),   !checks.spent(t.high),  jumps || !checks.spent(t.rate),
            !checks.spent(t.drift), !checks.spent(t.stuck), checks.timer_runs(t.drift)};
}

/// Compared with the other tracks. A track that they have outvoted stays so, or the vote would end by itself.
bool AssemblyMonitor::sound(std::size_t k, const DebouncedChecks& checks) const noexcept {
    const TrackWatch& t = tracks_[k];
    const auto found = {t.low, t.high, t.volts_low, t.volts_high, t.rate};
    return std::none_of(found.begin(), found.end(), [&](const auto& check) { return checks.confirmed(check); });
}

bool AssemblyMonitor::open(std::size_t i, std::size_t j, const DebouncedChecks& checks) const noexcept {
    return std::any_of(pairs_.begin(), pairs_.end(), [&](const PairWatch& pair) {
        return pair.first == i && pair.second == j && !checks.spent(pair.differs) && sound(i, checks) &&
               sound(j, checks);
    });
}

/// Whether the reading is outside a band now.
bool AssemblyMonitor::step_band(std::size_t k, double reading, double volts, DebouncedChecks& checks) noexcept {
    TrackWatch& t = tracks_[k];
    const bool low = reading<p_.band_low, high = reading> p_.band_high;
    t.lost |= checks.step(t.low, low);
    t.lost |= checks.step(t.high, high);
    t.lost |= checks.step(t.volts_low, volts < p_.volts_band.low);
    t.lost |= checks.step(t.volts_high, volts > p_.volts_band.high);
    return (low || high) && p_.range.enabled;
}

/// Where track `k` should be by the `reading` of its partner: the first track, or the second for that one.
double AssemblyMonitor::expected(std::size_t k, double reading) const noexcept {
    return k == 0 ? learned_[1].lowest_position(reading)
                  : learned_[k].linear_position(learned_[k].expected(learned_[0].linear_position(reading)));
}

/// `bad`: the track or its partner looks bad; then nothing is known of their movement.
void AssemblyMonitor::step_movement(std::size_t k, const control::Readings& readings, bool bad,
                                    DebouncedChecks& checks) noexcept {
    TrackWatch& t = tracks_[k];
    if (p_.stuck.check.enabled) {
        const double partner = readings[k == 0 ? 1 : 0];
        if (bad) t.still.restart();
        checks.step(t.stuck, t.still.step(learned_[k].linear_position(readings[k]), expected(k, partner), partner));
    }
    checks.step(t.drift, !bad && beyond_ends(p_.drift, learned_[k], readings[k]));
}

void AssemblyMonitor::step_pairs(const control::Readings& readings, DebouncedChecks& checks) noexcept {
    Pairs<bool> differ{};
    Pairs<double> distance{};
    for (std::size_t i = 0; i < pairs_.size(); ++i) {
        PairWatch& pair = pairs_[i];
        if (sound(pair.first, checks) && sound(pair.second, checks))
            distance[i] = disagreement(learned_, pair.first, pair.second, readings);
        pair.apart = distance[i] > p_.correlation_limit;
        differ[i] = checks.step(pair.differs, pair.apart);
    }
    if (pairs_.size() < 3) return;
    const auto out = [&](const TrackWatch& t) { return checks.confirmed(t.outvoted); };
    const bool settled = std::any_of(tracks_.begin(), tracks_.end(), out) || left() < 3;
    const auto loser = outvoted(differ, distance);
    for (std::size_t k = 0; k < tracks_.size(); ++k) {
        const bool was = out(tracks_[k]);
        if (checks.step(tracks_[k].outvoted, was ? loser.has_value() : !settled && loser == k)) tracks_[k].lost = true;
    }
}

bool AssemblyMonitor::sees() const noexcept {
    std::size_t count = 0;
    for (std::size_t k = 0; k < tracks_.size(); ++k) count += believed(k) ? 1 : 0;
    if (count < 2 || pairs_.empty() || !p_.correlation.enabled) return count > 0;
    return std::any_of(pairs_.begin(), pairs_.end(), [&](const PairWatch& pair) {
        return !pair.apart && believed(pair.first) && believed(pair.second);
    });
}

bool AssemblyMonitor::undecided(const DebouncedChecks& checks) const noexcept {
    return std::any_of(pairs_.begin(), pairs_.end(), [&](const PairWatch& pair) {
        return checks.confirmed(pair.differs) && !tracks_[pair.first].lost && !tracks_[pair.second].lost;
    });
}

void AssemblyMonitor::step_volts(const control::Readings& readings, const control::Readings& reference,
                                 DebouncedChecks& checks) noexcept {
    const double first = readings[0] * reference[0], second = readings[1] * reference[1];
    checks.step(volts_, off_the_line(line_, p_.volts.limit, first, second));
}

/// A track in use contradicts it.
bool AssemblyMonitor::contradicted(std::size_t k, const control::Readings& readings) const noexcept {
    for (const PairWatch& pair : pairs_) {
        const bool in = pair.first == k || pair.second == k;
        if (!in || !trust_[pair.first == k ? pair.second : pair.first]) continue;
        if (disagreement(learned_, pair.first, pair.second, readings) > 0.5 * p_.correlation_limit) return true;
    }
    return false;
}

void AssemblyMonitor::step_trust(const std::array<bool, 3>& bad, const control::Readings& readings) noexcept {
    for (std::size_t k = 0; k < tracks_.size(); ++k) {
        TrackWatch& t = tracks_[k];
        const bool doubtful = bad[k] || (t.good < believe_after_ && contradicted(k, readings));
        t.good = doubtful ? Time{-1} : t.good < Time{0} ? Time{0} : t.good + period_;
    }
    for (std::size_t k = 0; k < tracks_.size(); ++k) trust_[k] = p_.fallback ? believed(k) : !tracks_[k].lost;
}

void AssemblyMonitor::step(const control::Readings& readings, const control::Readings& reference,
                           DebouncedChecks& checks) noexcept {
    const bool known = !learned_.empty();
    std::array<bool, 3> bad{};
    for (std::size_t k = 0; k < tracks_.size(); ++k) {
        TrackWatch& t = tracks_[k];
        t.lost = false;
        const bool outside = step_band(k, readings[k], readings[k] * reference[k], checks);
        const bool jumped = known && t.jump.step(readings[k]);
        t.lost |= checks.step(t.rate, jumped);
        bad[k] = outside || (jumped && p_.rate.check.enabled);
    }
    for (std::size_t k = 0; known && k < tracks_.size(); ++k)
        step_movement(k, readings, bad[k] || bad[k == 0 ? 1 : 0], checks);
    if (known) step_pairs(readings, checks);
    step_volts(readings, reference, checks);
    step_trust(bad, readings);
}

}  // namespace twintrack::monitor
