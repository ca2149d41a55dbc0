// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>

#include "twintrack/bench/session.hpp"
#include "twintrack/study/idle.hpp"
#include "twintrack/study/rule.hpp"

namespace twintrack::study {

namespace {

Formula foot_off() { return crisp(signal("pedal.travel") <= 0.02); }  // 2 %: this bench's own

/// Time counts from the release, or from where the blade leaves idle under a resting foot (a severance).
Rule return_rule(const char* name, double seconds, const char* vehicles) {
    return {.set = "return to idle",
            .name = name,
            .source = "49 CFR 571.124",
            .clause = "S5.1, S5.2, S5.3",
            .sentence = std::string("With the foot off the pedal the blade is never above idle for longer than the "
                                    "return time of ") +
                        vehicles + ".",
            .basis = "clauses read in the text; the time of S5.3 from memory; idle and its 2 % are this bench's own",
            .requirement = !persists(foot_off() && signal("blade.opening") > signal("idle_opening"), seconds),
            .scale = 0.10};
}

}  // namespace

std::vector<Rule> return_rules() {
    return {return_rule("return to idle, light", 1.0, "vehicles up to 4,536 kg, 1 s"),
            return_rule("return to idle, heavy", 2.0, "vehicles above 4,536 kg, 2 s"),
            return_rule("return to idle, cold", 3.0, "any vehicle between −18 and −40 °C, 3 s"),
            Rule{.set = "fault-tolerant time",
                 .name = "no unasked opening",
                 .source = "Commonly cited goal for unintended acceleration (class B), second hand",
                 .clause = "fault-tolerant time interval",
                 .sentence = "The blade is never more than 10 % of travel beyond what the foot asks for longer than "
                             "0.5 s.",
                 .basis = "0.5 s quoted second hand; the 10 % of the student-competition rules",
                 .requirement = !persists(signal("blade.opening") - signal("asked") > 0.10, 0.5),
                 .scale = 0.10}};
}

std::vector<Rule> idle_rules() {
    const Sum error = signal("engine.speed") - signal("engine.idle_set_point");
    return {Rule{
        .set = "idle speed",
        .name = "idle band",
        .source = "13 CCR 1968.2",
        .clause = "(e)(15.2.2)(B)",
        .sentence = "With the key on and the foot off for 5 s the speed is within +200 and −100 rpm of its set point.",
        .basis = "band quoted second hand; the 5 s are this bench's own",
        .applies = held(foot_off() && crisp(signal("engine.spark") > 0.0), 5.0),
        .requirement = error <= 200.0 * rpm && error >= -100.0 * rpm,
        .unit = "rad/s",
        .scale = 100.0 * rpm}};
}

std::vector<Rule> reaction_rules() {
    return {Rule{.set = "reactions",
                 .name = "speed limit",
                 .source = "Published three-level monitoring concept",
                 .clause = "limp home: speed limited by fuel cut",
                 .sentence =
                     "Where a reaction has limited the engine's speed for 5 s, it is no more than 20 rad/s (191 rpm) "
                     "above that limit.",
                 .basis = "the reaction from memory; 5 s to coast down and 20 rad/s, twice the hysteresis of the fuel "
                          "cut, are this bench's own",
                 .applies = held(crisp(signal("speed_limit") > 0.0), 5.0),
                 .requirement = signal("engine.speed") - signal("speed_limit") <= 20.0,
                 .unit = "rad/s",
                 .scale = 20.0}};
}

std::vector<Rule> engine_rules() {
    return {Rule{.set = "engine",
                 .name = "keeps running",
                 .source = "This bench",
                 .clause = "stall",
                 .sentence = "An engine that runs does not stop by itself while the key is on and no reaction has "
                             "switched it off.",
                 .basis = "this bench's own; no trouble code of the standard says it",
                 .applies = crisp(signal("engine.spark") > 0.0 && signal("reaction") <= 3.5),
                 .requirement = crisp(signal("engine.status") <= 2.5)}};
}

std::vector<Rule> built_in_rules() {
    std::vector<Rule> all = student_competition_rules();
    for (const auto& rules : {return_rules(), idle_rules(), reaction_rules(), engine_rules()})
        all.insert(all.end(), rules.begin(), rules.end());
    return all;
}

std::vector<Signal> rule_signals() {
    std::vector<Signal> all = bench::recorded_signals(true);
    const std::vector<Signal> more = {// added by `observed`
                                      {"default_opening", ""},
                                      {"idle_opening", ""},
                                      {"pedal.tracks", ""},
                                      {"pedal.outside", "V"},
                                      {"pedal.mismatch", ""},
                                      {"throttle.tracks", ""},
                                      {"throttle.outside", "V"},
                                      {"throttle.mismatch", ""},
                                      // only where there is a brake, a device, a function monitor, an engine
                                      {"brake", ""},
                                      {"brake.volts", "V"},
                                      {"brake.applied", ""},
                                      {"brake.hard", ""},
                                      {"brake.outside", "V"},
                                      {"braking_opening", ""},
                                      {"speed_limit", "rad/s"},
                                      {"device.tripped", ""},
                                      {"device.undervoltage", "V"},
                                      {"device.reason", ""},
                                      {"function_monitor.tripped", ""},
                                      {"function_monitor.reason", ""},
                                      {"engine.fuel", ""},
                                      {"engine.spark", ""},
                                      {"engine.speed", "rad/s"},
                                      {"engine.idle_set_point", "rad/s"}};
    for (const auto& signal : more) {
        const auto known = [&](const Signal& s) { return s.name == signal.name; };
        if (std::none_of(all.begin(), all.end(), known)) all.push_back(signal);
    }
    return all;
}

}  // namespace twintrack::study
