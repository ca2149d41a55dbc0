// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"

namespace twintrack::lanes {

/// One bench with one stroke: what a lane runs.
struct Case {
    bench::BenchParameters bench{};
    bench::Stroke stroke = bench::Stroke::rest_half_full_rest();
    std::optional<double> duration{};                ///< [s]; absent: as long as the stroke
    std::optional<control::LearnedRange> learned{};  ///< absent: the controller has never learned
    std::vector<fault::Fault> faults{};
    std::optional<bench::Stroke> brake{};  ///< how hard the driver brakes (0 … 1) over time; absent: there is no brake
    std::optional<bench::LearnOptions> learn{};  ///< a range learn instead of a drive: see learn_case()
};

/// A range learn as a lane runs it: unwatched, the engine at rest, foot and faults as its disturbances leave them,
/// until it has ended. Throws InvalidParameter.
[[nodiscard]] Case learn_case(const bench::BenchParameters& bench, const bench::LearnOptions& options);

/// Throws InvalidParameter for what is wrong or cannot run in lanes.
void check(const Case& c);

/// [s] that a step of the body may take; beyond, the method is too coarse to be used.
inline constexpr Range substep_range{1e-6, 5e-4};

/// Body steps per tick of `period` when none may be longer than `longest` [s].
[[nodiscard]] int substeps_of(Time period, double longest);

struct Options {
    double substep = 2e-4;               ///< [s] longest step of the body; 1e-4 is the accurate setting
    int threads = 0;                     ///< 0: as many as the machine runs at once
    std::vector<std::string> signals{};  ///< recorded at the bench's record period, of recordable_signals()
    std::string instruction_set{};       ///< of instruction_sets(); empty: the widest the processor has
};

/// What can be recorded: bench::recorded_signals(), and those of a brake, a function monitor, an independent device and
/// an engine, which a record leaves out where its case has none.
[[nodiscard]] std::vector<Signal> recordable_signals();

/// What a case gave.
struct Result {
    std::size_t index = 0;  ///< of the case
    Outcome outcome;
    std::vector<monitor::TroubleCode> codes;
    monitor::Reaction reaction = monitor::Reaction::none;          ///< at the end
    double reacted_at = std::numeric_limits<double>::quiet_NaN();  ///< [s] first reaction; NaN: none
    std::int64_t decided = 0;      ///< ticks that monitor and controller of the bench decided, one lane at a time
    double mean_error = 0.0;       ///< mean |set point − true opening| while the motor is driven, over the whole run
    double largest_error = 0.0;    ///< of the same [share of travel]
    double largest_opening = 0.0;  ///< true [share of travel]
    double final_opening = 0.0;    ///< true [share of travel]
    Record record{{}};             ///< the requested signals
    std::optional<control::LearnResult> learn{};  ///< of a range learn
};

/// Gives case `index`; never called twice for one index, nor by two threads at once.
using Source = std::function<Case(std::size_t index)>;
/// Takes a result; never called by two threads at once. Results are in the order in which cases end.
using Sink = std::function<void(Result&&)>;

/// Runs cases 0 … count − 1 side by side: each in its own lane of a SIMD block, the body in fixed steps
/// (body_step.hpp), sensors, noise, converter and position loop as in bench::Session, from the same laws. A lane whose
/// case has ended takes the next one, so that none is idle until there are no more. What is decided seldom — a track
/// out of its band, two that disagree, a blade that lags, any reaction — is left to the monitor and the controller of
/// the exact solver's bench, one lane at a time.
///
/// A case's result depends on nothing but the case and `substep`: not on the threads, the instruction set, or the cases
/// beside it. Memory does not grow with `count`. Ends early, without the cases under way, when `interrupt` says so;
/// returns whether all were run. `interrupt` is called by the calling thread.
///
/// Limits: no intermittent fault of the wiring, bristle friction, tracks of at most five knots, pedal
/// maps of at most four, one control period for all cases. Throws InvalidParameter, its path beginning with
/// "cases[index]" (from 1), for a case that cannot be run; cases under way are dropped then.
bool run(std::size_t count, const Source& source, const Options& options, const Sink& sink,
         const bench::Interrupt& interrupt = {});

/// The same for a list; results in its order.
[[nodiscard]] std::vector<Result> run(const std::vector<Case>& cases, const Options& options = {});

/// Those that this build has and this processor knows, narrowest first.
[[nodiscard]] std::vector<std::string> instruction_sets();

}  // namespace twintrack::lanes
