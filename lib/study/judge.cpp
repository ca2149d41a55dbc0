// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>
#include <cmath>
#include <span>

#include "twintrack/analysis/metrics.hpp"
#include "twintrack/study/case.hpp"

namespace twintrack::study {

namespace {

constexpr double half_a_tick = 0.5e-6;  // [s] of the microsecond clock: differences of times in seconds round

double worse(double known, double next) { return std::isnan(known) ? next : std::max(known, next); }

/// The entry of the judgement that a hold at `travel` counts toward.
double& error_of(Judgement& j, double travel) {
    constexpr double edge = 0.02;
    return travel < edge ? j.error_rest : travel > 1.0 - edge ? j.error_full : j.error_half;
}

struct Holds {
    bool right = true;
    bool settled = true;
    double settling = 0.0;
};

/// What there is to judge.
struct Seen {
    std::span<const double> time, blade, asked;
    double end;  ///< [s] of the record
};

Holds judge_holds(const Seen& seen, const bench::Stroke& stroke, const Limits& limits, double key_off, Judgement& j) {
    const auto& [time, blade, asked, ended] = seen;
    Holds h;
    for (auto hold : stroke.holds(limits.hold)) {
        hold.to = std::min(hold.to, key_off - half_a_tick);
        if (hold.to - hold.from < limits.hold - 2.0 * half_a_tick) continue;
        if (hold.to > ended + 1e-9) continue;  // the run ended before this hold did
        const auto end = analysis::window(time, hold.to - limits.judged, hold.to);
        if (end.empty()) continue;
        const double error = analysis::largest_distance(blade, asked, end);
        double& entry = error_of(j, hold.travel);
        entry = worse(entry, error);
        h.right = h.right && error <= limits.settled;
        const auto whole = analysis::window(time, hold.from, hold.to);
        const auto settling = analysis::settling_time(time, blade, asked[end.first], limits.settled, whole);
        h.settled = h.settled && settling.has_value();
        if (settling && hold.from > 0.0) h.settling = std::max(h.settling, *settling);
    }
    return h;
}

}  // namespace

Judgement judge(const Record& record, const bench::Stroke& stroke, const Limits& limits, double key_off) {
    Judgement j;
    const std::size_t rows = analysis::window(record.time(), 0.0, key_off - half_a_tick).last;
    const auto till = [&](std::span<const double> column) { return column.first(rows); };
    const double ended = record.time().empty() ? -1.0 : record.time().back();
    const Seen seen{till(record.time()), till(record.column("blade.opening")), till(record.column("asked")), ended};
    const auto beyond = analysis::excess(seen.time, seen.blade, seen.asked, limits.unasked);
    j.movement = analysis::swing(seen.blade);
    j.unasked = beyond.largest;
    j.unasked_time = beyond.longest;
    const Holds holds = judge_holds(seen, stroke, limits, key_off, j);
    if (holds.settled) j.settling_time = holds.settling;
    if (j.movement < limits.moved) {
        j.response = Response::none;
    } else if (j.unasked_time > limits.unasked_time + half_a_tick) {
        j.response = Response::uncommanded;
    } else {
        j.response = holds.right ? Response::right : Response::wrong;
    }
    return j;
}

}  // namespace twintrack::study
