// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/lanes.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/lanes/replay.hpp"

#include <pybind11/numpy.h>

#include <cmath>

#include "fields.hpp"
#include "interrupt.hpp"

namespace twintrack::python {

namespace {

using Learned = std::vector<std::optional<control::LearnResult>>;

std::vector<study::CaseResult> run_released(const std::vector<study::Case>& cases, const Learned& learned, bool trace,
                                            std::vector<std::string> signals, double substep, int threads,
                                            std::string instruction_set) {
    Interrupted signal;
    lanes::Options options{.substep = substep, .threads = threads};
    options.instruction_set = std::move(instruction_set);
    if (trace && signals.empty())
        for (const Signal& s : lanes::recordable_signals()) signals.push_back(s.name);
    options.signals = std::move(signals);
    auto results = [&] {
        py::gil_scoped_release unlocked;
        return study::run_cases(cases, learned, std::move(options), trace, signal.question());
    }();
    signal.raise_if_set();
    return results;
}

std::vector<study::Learned> learns_released(const std::vector<study::Case>& cases, double substep, int threads,
                                            std::string instruction_set) {
    Interrupted signal;
    lanes::Options options{.substep = substep, .threads = threads};
    options.instruction_set = std::move(instruction_set);
    auto found = [&] {
        py::gil_scoped_release unlocked;
        return study::run_learns(cases, options, signal.question());
    }();
    signal.raise_if_set();
    return found;
}

void bind_learns(py::module_& m) {
    py::class_<study::Learned>(m, "Learned", "A range learn of a case, and where it was made.")
        .def_readonly("result", &study::Learned::result, "LearnResult; None when the case cannot be run at all.")
        .def_readonly("refused", &study::Learned::refused, "Why it cannot be run, in one sentence; else empty.")
        .def_property_readonly("solver", [](const study::Learned& l) { return l.in_lanes ? "lanes" : "exact"; });
    m.def("run_learns", &learns_released, py::arg("cases"), py::kw_only(), py::arg("substep") = 2e-4,
          py::arg("threads") = 0, py::arg("instruction_set") = "",
          "The range learns of stale or fresh cases: side by side in lanes those that lanes can take, the others in "
          "the exact solver; the case alone decides. Results in the order of the cases, the same bits whatever the "
          "threads. Releases the interpreter lock.");
}

/// Columns of figures, one entry per case; case `k` of replica `r` stands at r·count + k.
struct Columns {
    explicit Columns(std::size_t rows) {
        for (auto* c : {&mean_error, &largest_error, &largest_opening, &final_opening, &reacted_at, &codes})
            c->resize(rows);
    }
    void take(const lanes::Result& r) {
        mean_error[r.index] = r.mean_error;
        largest_error[r.index] = r.largest_error;
        largest_opening[r.index] = r.largest_opening;
        final_opening[r.index] = r.final_opening;
        reacted_at[r.index] = r.reacted_at;
        codes[r.index] = r.outcome.ok() ? static_cast<double>(r.codes.size()) : std::nan("");
    }
    [[nodiscard]] py::dict dict() const {
        py::dict d;
        const auto add = [&](const char* name, const std::vector<double>& c) {
            d[name] = py::array_t<double>(static_cast<py::ssize_t>(c.size()), c.data());
        };
        add("mean_error", mean_error), add("largest_error", largest_error);
        add("largest_opening", largest_opening), add("final_opening", final_opening);
        add("reacted_at", reacted_at), add("codes", codes);
        return d;
    }
    std::vector<double> mean_error, largest_error, largest_opening, final_opening, reacted_at, codes;
};

py::dict figures(const std::vector<study::Case>& cases, const Learned& learned, int replicas, double substep,
                 int threads, std::string instruction_set) {
    require(replicas, {0, 1e9}, "replicas", "", "runs of each case");
    study::check_for_lanes(cases, learned);
    const std::size_t count = cases.size();
    Columns columns(count * static_cast<std::size_t>(replicas));
    lanes::Options options{.substep = substep, .threads = threads};
    options.instruction_set = std::move(instruction_set);
    const auto source = [&](std::size_t index) {
        lanes::Case c = study::in_lane(cases[index % count], learned[index % count]);
        c.bench.case_number += static_cast<int>(index / count);
        return c;
    };
    Interrupted signal;
    {
        py::gil_scoped_release unlocked;
        lanes::run(
            columns.codes.size(), source, options, [&](lanes::Result&& r) { columns.take(r); }, signal.question());
    }
    signal.raise_if_set();
    return columns.dict();
}

py::array_t<double> replay(const plant::BodyMechanics& body, const plant::BridgeParameters& bridge, double supply,
                           const std::vector<std::string>& modes, const std::vector<double>& duties, double period,
                           double substep) {
    if (modes.size() != duties.size())
        throw InvalidParameter("duties", "as many duties as modes are needed; got " + std::to_string(duties.size()) +
                                             " and " + std::to_string(modes.size()));
    std::vector<lanes::DutySample> played;
    for (std::size_t k = 0; k < modes.size(); ++k)
        played.push_back({enumerator<plant::BridgeMode>(py::str(modes[k]), "modes"), duties[k]});
    const auto angles = lanes::replay(body, bridge, supply, played, from_seconds(period), substep);
    return py::array_t<double>(static_cast<py::ssize_t>(angles.size()), angles.data());
}

}  // namespace

void bind_lanes(py::module_& m) {
    bind_learns(m);
    m.def("run_lanes", &run_released, py::arg("cases"), py::arg("learned"), py::kw_only(), py::arg("trace") = false,
          py::arg("signals") = std::vector<std::string>{}, py::arg("substep") = 2e-4, py::arg("threads") = 0,
          py::arg("instruction_set") = "",
          "Runs many cases side by side in SIMD lanes: `run_case` for each, with the body in fixed steps of at most "
          "`substep` [s]. `learned`: one LearnResult per case, or None. `trace` keeps records, of `signals` or of all. "
          "`threads` 0: as many as the machine runs at once. Results in the order of the cases, the same bits whatever "
          "the threads. Releases the interpreter lock. Raises InvalidParameter for a case that cannot run in lanes.");
    m.def(
        "lane_figures", &figures, py::arg("cases"), py::arg("learned"), py::kw_only(), py::arg("replicas") = 1,
        py::arg("substep") = 2e-4, py::arg("threads") = 0, py::arg("instruction_set") = "",
        "As `run_lanes`, without records and verdicts: a dict of arrays, one entry per case and replica (replica r of "
        "case k at r · len(cases) + k, its case number counted on by r, so with noise of its own). mean_error and "
        "largest_error: |set point − true opening| while the motor is driven; largest_opening, final_opening: true "
        "[share of travel]; reacted_at [s], NaN without a reaction; codes: how many, NaN for a numerical failure.");
    m.def("lanes_refusal", &study::lanes_refusal, py::arg("case"),
          "Why a case cannot run in lanes, in one sentence; empty when it can.");
    m.def("instruction_sets", &lanes::instruction_sets,
          "Those the lanes can run on here, narrowest first; the last one is used.");
    m.def("replay_lanes", &replay, py::arg("body"), py::arg("bridge"), py::kw_only(), py::arg("supply"),
          py::arg("modes"), py::arg("duties"), py::arg("period") = 1e-3, py::arg("substep") = 2e-4,
          "Blade angle [rad] at each tick of a body under played duties, in the lanes' fixed steps; from rest at the "
          "default position. `modes`: \"drive\", \"brake\" or \"high_impedance\" per tick; `supply` [V].");
}

}  // namespace twintrack::python
