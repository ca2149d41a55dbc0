// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/idle.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "twintrack/analysis/metrics.hpp"
#include "twintrack/engine/engine.hpp"

namespace twintrack::study {

namespace {

using Values = std::span<const double>;
using Rows = analysis::Window;

constexpr double standing = 1.0;  // [rad/s]

double mean(Values signal, Rows w) {
    if (w.empty()) return IdleReport::none;
    double sum = 0.0;
    for (std::size_t k = w.first; k < w.last; ++k) sum += signal[k];
    return sum / static_cast<double>(w.last - w.first);
}

/// Times of the first and last tip-in and of the last return to rest [s].
struct Foot {
    std::optional<double> pressed, released;
};

Foot foot(const bench::Stroke& stroke) {
    Foot f;
    const auto time = stroke.table().x(), travel = stroke.table().y();
    for (std::size_t k = 0; k < time.size(); ++k) {
        if (travel[k] > 0.0 && !f.pressed) f.pressed = k > 0 ? time[k - 1] : time[k];
        if (travel[k] == 0.0 && f.pressed) f.released = travel[k - 1] > 0.0 ? time[k] : f.released;
    }
    if (travel.back() > 0.0) f.released.reset();
    return f;
}

/// Seconds from `w`'s begin until speed − set point stays within [low, high]; NaN if it is outside at the end.
double until_within(Values time, Values speed, Values goal, Rows w, double low, double high) {
    if (w.empty()) return IdleReport::none;
    for (std::size_t k = w.last; k > w.first; --k) {
        const double error = speed[k - 1] - goal[k - 1];
        if (error <= high && error >= low) continue;
        return k == w.last ? IdleReport::none : time[k] - time[w.first];
    }
    return 0.0;
}

/// Mean time between two upward passages through the mean, with a quarter of the amplitude as hysteresis.
double period(Values time, Values speed, Rows w, double middle, double amplitude) {
    std::size_t count = 0;
    double first = 0.0, last = 0.0;
    bool below = false;
    for (std::size_t k = w.first; k < w.last; ++k) {
        if (speed[k] < middle - 0.25 * amplitude) below = true;
        if (!below || speed[k] <= middle + 0.25 * amplitude) continue;
        below = false;
        if (count++ == 0) first = time[k];
        last = time[k];
    }
    return count < 2 ? IdleReport::none : (last - first) / static_cast<double>(count - 1);
}

/// Start, stall and what the starter left.
void count_status(IdleReport& r, Values status) {
    using engine::EngineStatus;
    for (std::size_t k = 0; k < status.size(); ++k) {
        r.started = r.started || status[k] == static_cast<double>(EngineStatus::running);
        const double stalled = static_cast<double>(EngineStatus::stalled);
        if (status[k] == stalled && (k == 0 || status[k - 1] != stalled)) ++r.stalls;
    }
}

/// The foot off for a while, the engine started: how far and for how long the speed is above its set point.
void watch_excess(IdleReport& r, const Record& record, const bench::Stroke& stroke, double from, double to,
                  const IdleLimits& limits) {
    const auto time = record.time(), speed = record.column("engine.speed"),
               goal = record.column("engine.idle_set_point");
    double off_since = from, above_since = IdleReport::none;
    for (std::size_t k = 0; k < time.size() && time[k] < to; ++k) {
        if (stroke.travel(from_seconds(time[k])) > 0.0) off_since = time[k];
        const double excess = speed[k] - goal[k];
        if (time[k] < off_since + limits.released) {
            above_since = IdleReport::none;
            continue;
        }
        r.highest = std::isnan(r.highest) ? excess : std::max(r.highest, excess);
        if (!(excess > limits.runaway))
            above_since = IdleReport::none;
        else if (std::isnan(above_since))
            above_since = time[k];
        if (!std::isnan(above_since)) r.runaway = std::max(r.runaway, time[k] - above_since);
    }
}

/// The controller has the key-off at its own tick.
void watch_key_off(IdleReport& r, const Record& record, double key_off) {
    const auto time = record.time(), speed = record.column("engine.speed"), duty = record.column("duty");
    std::size_t stands = time.size(), k = time.size();
    for (; k > 0 && time[k - 1] >= key_off - 1e-9; --k) {
        r.driven_off = r.driven_off || duty[k - 1] != 0.0;
        if (speed[k - 1] < standing && stands == k) stands = k - 1;
    }
    if (k == time.size()) return;
    r.off_opening = record.column("blade.opening").back();
    r.stop_time =
        stands < time.size() ? std::max(time[stands] - key_off, 0.0) : std::numeric_limits<double>::infinity();
}

/// Holds for numbers in the band; not for NaN.
bool good(const IdleReport& r, const IdleLimits& limits, bool returns) {
    const bool back = !returns || !std::isnan(r.return_time);
    return !r.driven_off && r.started && r.stalls == 0 && r.deviation() <= limits.above &&
           r.deviation() >= -limits.below && r.hunting <= limits.hunting && back;
}

}  // namespace

IdleReport idle_report(const Record& record, const bench::Stroke& stroke, const bench::EngineCourse& course,
                       bool reported, bool uncommanded, const IdleLimits& limits) {
    IdleReport r;
    const auto time = record.time(), speed = record.column("engine.speed"),
               goal = record.column("engine.idle_set_point");
    count_status(r, record.column("engine.status"));
    const Foot f = foot(stroke);
    const bool loaded = course.accessory_to > course.accessory_from;
    const double end = std::min(course.key_off.value_or(1e9), time.empty() ? 0.0 : time.back() + 1e-9);
    const double event = std::min({end, loaded ? course.accessory_from : end, f.pressed.value_or(end)}) - 1e-9;
    const Rows calm = analysis::window(time, course.start_at, event);
    const Rows judged = analysis::window(time, std::max(course.start_at, event - limits.judged), event);
    r.speed = mean(speed, judged);
    r.set_point = mean(goal, judged);
    r.settling_time = until_within(time, speed, goal, calm, -limits.settled, limits.settled);
    if (!judged.empty()) r.hunting = 0.5 * analysis::swing(speed.subspan(judged.first, judged.last - judged.first));
    if (r.hunting > limits.settled) r.hunting_period = period(time, speed, judged, r.speed, r.hunting);
    r.air_flow = mean(record.column("engine.air_flow"), judged);
    r.opening = mean(record.column("blade.opening"), judged);
    r.authority = mean(record.column("idle.authority"), judged);
    r.pressure = mean(record.column("engine.manifold_pressure"), judged);
    if (loaded) {
        const Rows w = analysis::window(time, course.accessory_from, std::min(course.accessory_to, end));
        for (std::size_t k = w.first; k < w.last; ++k)
            r.load_dip = std::fmax(r.load_dip, goal[k] - speed[k]);  // of NaN and a number the number
    }
    if (f.released && *f.released < end)
        r.return_time = until_within(time, speed, goal, analysis::window(time, *f.released, end - 1e-9), -limits.below,
                                     limits.above);
    if (course.key_off) watch_key_off(r, record, *course.key_off);
    watch_excess(r, record, stroke, course.start_at, end - 1e-9, limits);
    if (uncommanded || r.runaway > limits.runaway_time)
        r.finding = IdleFinding::dangerous;
    else if (reported)
        r.finding = IdleFinding::noticed;
    else if (!good(r, limits, f.released && *f.released < end))
        r.finding = IdleFinding::wrong;
    return r;
}

std::string sentence(const IdleReport& r) {
    if (!r.started) return "The engine does not start.";
    char text[160];
    std::snprintf(text, sizeof text, "Idles at %.0f rpm, %+.0f from its set point, with the blade %.1f %% open%s%s.",
                  r.speed / rpm, r.deviation() / rpm, 100.0 * r.opening, r.hunting_period > 0.0 ? "; it hunts" : "",
                  r.stalls > 0 ? "; it stalls" : "");
    std::string said = text;
    for (std::size_t at = said.find('-'); at != std::string::npos; at = said.find('-', at)) said.replace(at, 1, "−");
    return said;
}

}  // namespace twintrack::study
