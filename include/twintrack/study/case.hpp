// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/study/idle.hpp"

namespace twintrack::study {

/// What the controller has learned before the case begins.
enum class LearnSource {
    none,   ///< nothing: as it left the maker
    stale,  ///< another pedal or body, then the part was exchanged
    fresh   ///< this very pair
};

constexpr std::array<std::pair<LearnSource, const char*>, 3> names(Tag<LearnSource>) {
    return {{{LearnSource::none, "none"}, {LearnSource::stale, "stale"}, {LearnSource::fresh, "fresh"}}};
}

/// Where the judgement draws its lines.
struct Limits {
    double moved = 0.02;          ///< share of travel the blade must move to count as a response (this bench's own)
    double settled = 0.02;        ///< share of travel within which a held position is right (this bench's own)
    double unasked = 0.10;        ///< share of travel beyond the demand (student-competition rules T.4.2.4, IC.4.4.3)
    double unasked_time = 0.100;  ///< [s] longer than which that is uncommanded (T.4.2.5, IC.4.4.4)
    double hold = 1.0;            ///< [s] a foot must hold still for the position to be judged
    double judged = 0.3;          ///< [s] at the end of a hold during which the blade must be right
};

/// One pair driven through one stroke.
struct Case {
    bench::BenchParameters bench{};
    bench::Stroke stroke = bench::Stroke::rest_half_full_rest();
    LearnSource learn = LearnSource::fresh;
    std::optional<sensing::PedalParameters>
        learn_pedal{};  ///< stale: the pedal the learn was run with; absent: this one
    std::optional<sensing::ThrottleBodyParameters> learn_body{};  ///< stale: the body it was run with; absent: this one
    std::vector<fault::Fault> faults{};                           ///< present in the run, not in the learn
    std::vector<fault::Fault> learn_faults{};                     ///< present in the learn, not in the run
    std::vector<bench::LearnDisturbance> disturbances{};          ///< a disturbance of the learn
    bool disturbances_stay = false;        ///< those of them that can are active in the run too: not repaired
    std::optional<bench::Stroke> brake{};  ///< how hard the driver brakes (0 … 1); absent: there is no brake
    Limits limits{};                       ///< by which the run is judged
};

/// Everything that is wrong in the run: the case's faults, and the disturbances that stay.
[[nodiscard]] std::vector<fault::Fault> faults_of_run(const Case& c);

/// How the throttle follows the pedal, judged on the true angles.
enum class Response { none, right, wrong, uncommanded };

constexpr std::array<std::pair<Response, const char*>, 4> names(Tag<Response>) {
    return {{{Response::none, "none"},
             {Response::right, "right"},
             {Response::wrong, "wrong"},
             {Response::uncommanded, "uncommanded"}}};
}

struct Judgement {
    Response response = Response::none;
    double movement = 0.0;      ///< swing of the blade [share of travel]
    double unasked = 0.0;       ///< largest opening beyond the demand [share of travel]
    double unasked_time = 0.0;  ///< [s] longest time beyond the limit
    double settling_time =
        std::numeric_limits<double>::quiet_NaN();  ///< [s] longest over the holds; NaN if one never settles
    double error_rest = std::numeric_limits<double>::quiet_NaN();  ///< worst over the holds at rest [share of travel];
                                                                   ///< NaN: no such hold
    double error_half = std::numeric_limits<double>::quiet_NaN();  ///< worst over the holds in between
    double error_full = std::numeric_limits<double>::quiet_NaN();  ///< worst over the holds at full
};

/// Judges a record: none (the blade moved less than `moved`), uncommanded (more than `unasked` beyond what the foot
/// asks for longer than `unasked_time`), right (within `settled` of what the pedal map asks at the end of every hold),
/// else wrong. From `key_off` [s] on nothing is judged: the blade is left to its springs then.
[[nodiscard]] Judgement judge(const Record& record, const bench::Stroke& stroke, const Limits& limits = {},
                              double key_off = std::numeric_limits<double>::infinity());

struct CaseResult {
    Judgement judgement;
    std::string sentence;                ///< the verdict in words, with its numbers
    std::optional<bool> learn_accepted;  ///< absent when no learn was run
    std::string learn_reason;            ///< why it was refused
    double final_opening = 0.0;          ///< true [share of travel]
    std::vector<monitor::TroubleCode> codes;
    monitor::FaultMemory history;  ///< each code with state, count and freeze-frame
    Outcome outcome;
    double detected_after = std::numeric_limits<double>::quiet_NaN();  ///< [s] from the first fault of the run to the
                                                                       ///< first code set then or later; NaN: none
    monitor::Reaction reaction = monitor::Reaction::none;  ///< furthest rung from the first fault on, or in all the run
    std::optional<IdleReport> idle;                        ///< of a bench with an engine
    std::optional<Record> record;                          ///< on request
};

/// The result of a run that gave this record, codes and outcome; the record itself is not kept.
[[nodiscard]] CaseResult conclude(const Case& c, const std::optional<control::LearnResult>& learned,
                                  const Record& record, std::vector<monitor::TroubleCode> codes, Outcome outcome);

/// A pure function of the case: the same bits on any thread. Trouble inside the run is stated in the outcome.
[[nodiscard]] CaseResult run_case(const Case& c, bool keep_record = false, const bench::Interrupt& interrupt = {});

/// The bench as it was when the learn was run.
[[nodiscard]] bench::BenchParameters bench_of_learn(const Case& c);
/// What happens in it.
[[nodiscard]] bench::LearnOptions options_of_learn(const Case& c);

/// The learn of a stale or fresh case, so that cases that share one need not repeat it; by a learn of one's own when
/// `unit` is given.
[[nodiscard]] bench::LearnRun run_learn(const Case& c, const bench::Interrupt& interrupt = {},
                                        const bench::LearnFactory& unit = {});

/// As above with the learn already made, and with controller or monitor of one's own. What a factory throws is thrown
/// as InvalidParameter.
[[nodiscard]] CaseResult run_case(const Case& c, const std::optional<control::LearnResult>& learned, bool keep_record,
                                  const bench::Interrupt& interrupt = {}, const bench::Units& units = {});

}  // namespace twintrack::study
