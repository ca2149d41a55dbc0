// SPDX-License-Identifier: BSD-3-Clause
#include <utility>

#include "twintrack/study/rule.hpp"

namespace twintrack::study {

namespace {

constexpr double implausible = 0.10;  // [share of travel] T.4.2.4, IC.4.4.3, IC.4.7.2
constexpr double at_once = 0.010;     // [s] allowed for "at once": sampling, filter and a tick (this bench's own)
constexpr double steady = 0.020;    // [s] without duty that separates "off" from a duty passing zero (this bench's own)
constexpr double rest_band = 0.02;  // [share of travel] by which friction may hold the blade off (this bench's own)

// Figures of the clauses.
Formula no_duty() { return crisp(magnitude(signal("duty")) <= 0.0); }
Formula motor_off() { return always(between(0.0, steady), no_duty()); }
Formula turns_off() { return eventually(between(0.0, at_once), motor_off()); }
Formula engine_off() { return crisp(signal("engine.fuel") <= 0.0 && signal("engine.spark") <= 0.0); }
Formula shuts_down() { return eventually(between(0.0, at_once), engine_off()); }
Formula at_default() { return signal("blade.opening") <= signal("default_opening") + rest_band; }
Formula deviates() { return magnitude(signal("opening") - signal("set_point")) > implausible; }
/// The power removed because of that, ever since.
Formula removed() { return crisp(no_duty() && since(no_duty(), after(0.0), persists(deviates(), 1.0))); }
Formula misses_demand() { return magnitude(signal("opening") - signal("demand")) > implausible; }

/// Where the record ends before a reaction is due, none is required.
Formula judged(Formula cause) { return std::move(cause) && recorded(at_once); }

Rule rule(std::string name, std::string clause, std::string sentence, Formula requirement, double scale = implausible,
          std::string unit = {}) {
    return {.set = "student competition 2024",
            .name = std::move(name),
            .source = "Student-competition rules 2024, version 1.0 (1 September 2023)",
            .clause = std::move(clause),
            .sentence = std::move(sentence),
            .basis = "read in the published text",
            .requirement = std::move(requirement),
            .unit = std::move(unit),
            .scale = scale};
}

/// A clause about which no record says anything.
Rule unseen(std::string name, std::string clause, std::string sentence, std::string why) {
    Rule r = rule(std::move(name), std::move(clause), std::move(sentence), truth(true));
    r.unseen = std::move(why);
    return r;
}

void add_construction(std::vector<Rule>& all) {
    const std::string why = "a matter of construction, not of a run; break a spring in a run of its own";
    all.push_back(unseen("two energy sources", "IC.4.1.2, IC.3.3.2, IC.3.3.3",
                         "Two sources of energy close the throttle, one of them a spring without actuator power.",
                         why));
    all.push_back(unseen("two pedal springs", "T.4.2.1", "Each of two springs alone returns the pedal to 0 %.", why));
    all.push_back(rule("two pedal tracks", "T.4.2.2", "The pedal has two or more separate tracks.",
                       signal("pedal.tracks") >= 2.0, 1.0));
    all.push_back(rule("two throttle tracks", "IC.4.4.2", "The throttle body has two or more tracks.",
                       signal("throttle.tracks") >= 2.0, 1.0));
    all.push_back(unseen("shared supply is watched", "IC.4.4.2",
                         "Throttle tracks share supply and reference only if an offset of those lines is noticed.",
                         "a matter of construction; shift the throttle's regulator in a run of its own"));
    all.push_back(unseen("different characteristics", "T.4.2.3",
                         "The tracks of the pedal differ in slope, offset or direction, so that a short between them "
                         "may agree at 0 % only.",
                         "a matter of the tracks' characteristics; short the two in a run of its own"));
    all.push_back(unseen("two of three tracks", "T.4.2.6, IC.4.4.5",
                         "Of three tracks two that agree within 10 % may go on.",
                         "a permission; the rules on mismatch and band judge three tracks by it"));
    all.push_back(unseen("digital links", "T.4.2.11, IC.4.4.9",
                         "A digital link covers range, corruption, loss and timeout.",
                         "this bench has no digital link"));
}

/// "Persisting more than 100 ms: power to the throttle is removed at once", of pedal and throttle alike.
void add_tracks(std::vector<Rule>& all, const std::string& assembly, const char* differ, const char* band) {
    const auto answered = [](Formula fault) { return implies(judged(persists(std::move(fault), 0.100)), turns_off()); };
    all.push_back(rule(assembly + " tracks agree", differ,
                       "Tracks that differ by more than 10 % of travel for more than 100 ms: the throttle's power is "
                       "removed at once.",
                       answered(signal(assembly + ".mismatch") > implausible)));
    all.push_back(rule(assembly + " tracks in band", band,
                       "A track outside its electrical band (the rules' example: 0.5 to 4.5 V; here the monitor's own) "
                       "for more than 100 ms: the throttle's power is removed at once.",
                       answered(signal(assembly + ".outside") > 0.0), 0.5, "V"));
}

void add_position(std::vector<Rule>& all) {
    Rule closes = rule("closes without power", "IC.4.1.1",
                       "With the throttle's power removed for a second (IC.4.7.2; the clause gives no time) the blade "
                       "stands at or below its default position.",
                       at_default(), rest_band);
    closes.applies = held(no_duty(), 1.0);
    all.push_back(std::move(closes));
    all.push_back(rule("position follows target", "IC.4.7.2",
                       "Position and target differ by more than 10 % for more than 1 s: the throttle's power is "
                       "removed.",
                       implies(judged(persists(deviates(), 1.0)), turns_off())));
    all.push_back(rule("engine stops behind it", "IC.4.7.2",
                       "With the power removed and the position not back within 10 % of the demand for more than 1 s: "
                       "fuel and ignition off.",
                       implies(judged(persists(removed() && misses_demand(), 1.0)), shuts_down())));
    Rule latch = rule("shutdown latched", "IC.4.7.3",
                      "After such a removal the power stays off until the blade has been at or below its default "
                      "position for 1 s or more.",
                      previous(held(no_duty() && at_default(), 1.0)), rest_band);
    latch.applies = !no_duty() && previous(removed());
    all.push_back(std::move(latch));
}

void add_brake(std::vector<Rule>& all) {
    const Formula braked = crisp(signal("brake.applied") > 0.5), hard = crisp(signal("brake.hard") > 0.5);
    const Formula more = signal("blade.opening") > signal("braking_opening");
    const Formula open = signal("blade.opening") > 0.10;
    all.push_back(rule("brake and throttle", "IC.4.7.1",
                       "Brake applied and throttle open above the permitted amount for more than 1 s: the throttle's "
                       "power is removed.",
                       implies(judged(persists(braked && more, 1.0)), turns_off())));
    all.push_back(rule("engine stops behind brake and throttle", "IC.4.7.1",
                       "With the power removed and the throttle still open above that for more than 1 s: fuel and "
                       "ignition off.",
                       implies(judged(persists(no_duty() && braked && more, 1.0)), shuts_down())));
    all.push_back(rule("brake sensor in band", "T.4.3.3, T.4.3.4",
                       "A brake sensor outside 0.5 to 4.5 V for more than 100 ms: the throttle's power is removed.",
                       implies(judged(persists(signal("brake.outside") > 0.0, 0.100)), turns_off()), 0.5, "V"));
    all.push_back(rule("independent device: hard braking", "IC.4.8.3",
                       "Hard braking and throttle above 10 % for more than 1 s: shutdown.",
                       implies(judged(persists(hard && open, 1.0)), shuts_down())));
    all.push_back(rule("independent device: brake signal", "IC.4.8.3",
                       "Loss of the brake signal for more than 100 ms: shutdown.",
                       implies(judged(persists(signal("brake.outside") > 0.0, 0.100)), shuts_down()), 0.5, "V"));
    all.push_back(rule("independent device: throttle signal", "IC.4.8.3",
                       "Loss of the throttle signal for more than 100 ms: shutdown.",
                       implies(judged(persists(signal("throttle.outside") > 0.0, 0.100)), shuts_down()), 0.5, "V"));
    all.push_back(rule("independent device: its power", "IC.4.8.3", "Loss of its own power: shutdown.",
                       implies(judged(signal("device.undervoltage") > 0.0), shuts_down()), 5.0, "V"));
    const Formula tripped = crisp(signal("device.tripped") > 0.5);
    all.push_back(rule("independent device: reset", "IC.4.8.5",
                       "Once it has tripped only a cycle of the master switch, which a record never holds, resets it.",
                       implies(once(after(0.0), tripped), tripped), 1.0));
    all.push_back(rule("shutdown is complete", "IC.9.2.2", "A shutdown cuts fuel, ignition and the throttle's power.",
                       implies(judged(tripped), shuts_down() && turns_off()), 1.0));
}

}  // namespace

std::vector<Rule> student_competition_rules() {
    std::vector<Rule> all;
    add_construction(all);
    add_tracks(all, "pedal", "T.4.2.4, T.4.2.5", "T.4.2.4, T.4.2.5, T.4.2.10");
    add_tracks(all, "throttle", "IC.4.4.3, IC.4.4.4", "IC.4.4.3, IC.4.4.4, IC.4.4.8");
    add_position(all);
    add_brake(all);
    return all;
}

}  // namespace twintrack::study
