// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/study/case.hpp"

#include "given.hpp"
#include "interrupt.hpp"
#include "session_options.hpp"
#include "units.hpp"

namespace twintrack::python {

using namespace study;

namespace {

CaseResult run_released(const Case& c, std::optional<control::LearnResult> learned, bool trace,
                        const py::object& controller, const py::object& monitor) {
    const bench::Units units{controller_factory(controller), monitor_factory(monitor), {}};
    Interrupted signal;
    CaseResult result = [&] {
        py::gil_scoped_release unlocked;
        if (learned || units.controller || units.monitor) return run_case(c, learned, trace, signal.question(), units);
        return run_case(c, trace, signal.question());
    }();
    signal.raise_if_set();
    return result;
}

bench::LearnRun learn_released(const Case& c, const py::object& unit) {
    const bench::LearnFactory factory = learn_factory(unit);
    Interrupted signal;
    bench::LearnRun result = [&] {
        py::gil_scoped_release unlocked;
        return run_learn(c, signal.question(), factory);
    }();
    signal.raise_if_set();
    return result;
}

Case case_of(Given<bench::BenchParameters> parameters, Given<std::string> learn,
             Given<std::optional<sensing::PedalParameters>> learn_pedal,
             Given<std::optional<sensing::ThrottleBodyParameters>> learn_body,
             Given<std::optional<bench::Stroke>> stroke, Given<std::vector<fault::Fault>> faults,
             Given<std::vector<fault::Fault>> learn_faults, Given<std::vector<bench::LearnDisturbance>> disturbances,
             Given<bool> disturbances_stay, Given<std::optional<bench::Stroke>> brake,
             Given<std::optional<std::pair<double, double>>> hazard) {
    Case made{parameters.get("parameters", "BenchParameters"),
              stroke.get("stroke", "a Stroke").value_or(bench::Stroke::rest_half_full_rest()),
              enumerator<LearnSource>(learn.value, "learn"),
              learn_pedal.get("learn_pedal", "PedalParameters"),
              learn_body.get("learn_body", "ThrottleBodyParameters"),
              faults.get("faults", "a list of Fault"),
              learn_faults.get("learn_faults", "a list of Fault"),
              disturbances.get("disturbances", "a list of LearnDisturbance"),
              disturbances_stay.get("disturbances_stay", "True or False"),
              brake.get("brake", "a Stroke"),
              {}};
    if (const auto limits = hazard.get("hazard", "a pair of numbers")) {
        require(limits->first, {0.0, 1.0}, "hazard", "", "uncommanded opening");
        require(limits->second, {0.0, 60.0}, "hazard", "s", "time of it");
        made.limits.unasked = limits->first;
        made.limits.unasked_time = limits->second;
    }
    (void)fault::Schedule(made.learn_faults);
    (void)fault::Schedule(made.faults);  // refuse here what no run and no learn would take
    (void)fault::Schedule(bench::with_disturbances({bench::Stroke::two_presses()}, made.disturbances).faults);
    (void)fault::Schedule(faults_of_run(made));
    bench::check_length(made.bench, made.stroke.duration());
    bench::check_faults(made.bench, made.faults, made.brake.has_value(), made.stroke.duration());
    return made;
}

void bind_case(py::module_& m) {
    py::class_<Case>(m, "Case", "One pair driven through one stroke.")
        .def(py::init(&case_of), py::kw_only(), py::arg("parameters"), py::arg("learn") = "fresh",
             py::arg("learn_pedal") = py::none(), py::arg("learn_body") = py::none(), py::arg("stroke") = py::none(),
             py::arg("faults") = std::vector<fault::Fault>{}, py::arg("learn_faults") = std::vector<fault::Fault>{},
             py::arg("disturbances") = std::vector<bench::LearnDisturbance>{}, py::arg("disturbances_stay") = false,
             py::arg("brake") = py::none(), py::arg("hazard") = py::none(),
             "learn: \"none\" (never learned), \"fresh\" (this pair), \"stale\" (with `learn_pedal` and/or "
             "`learn_body`, then exchanged). faults: of the run; learn_faults: of the learn. disturbances: a "
             "disturbance of the learn; with `disturbances_stay` those "
             "that "
             "can are still there in the run. hazard: uncommanded opening [share of travel] and time [s] beyond which "
             "it is uncommanded; by default those of `limits()`.")
        .def_property_readonly("faults_of_run", &faults_of_run, "The faults, and the disturbances that stay.")
        .def_readonly("parameters", &Case::bench)
        .def_readonly("stroke", &Case::stroke)
        .def_property_readonly("learn", [](const Case& c) { return std::string(name_of(c.learn)); });
}

void bind_result(py::module_& m) {
    const auto judged = [](double Judgement::*member) {
        return [member](const CaseResult& r) { return r.judgement.*member; };
    };
    py::class_<CaseResult>(m, "CaseResult", "What became of a case.")
        .def_property_readonly(
            "response", [](const CaseResult& r) { return std::string(name_of(r.judgement.response)); },
            "none, right, wrong or uncommanded.")
        .def_readonly("sentence", &CaseResult::sentence, "The verdict in words.")
        .def_readonly("learn_accepted", &CaseResult::learn_accepted, "None when no learn was run.")
        .def_readonly("learn_reason", &CaseResult::learn_reason)
        .def_property_readonly("movement", judged(&Judgement::movement), "Swing of the blade [share of travel].")
        .def_property_readonly("unasked_opening", judged(&Judgement::unasked),
                               "Largest opening beyond what the foot asks [share of travel].")
        .def_property_readonly("unasked_time", judged(&Judgement::unasked_time), "[s] longest time beyond the limit.")
        .def_property_readonly("settling_time", judged(&Judgement::settling_time),
                               "[s] longest over the holds; NaN if one never settles.")
        .def_property_readonly("error_rest", judged(&Judgement::error_rest),
                               "[share of travel]; NaN without such a hold.")
        .def_property_readonly("error_half", judged(&Judgement::error_half),
                               "[share of travel]; NaN without such a hold.")
        .def_property_readonly("error_full", judged(&Judgement::error_full),
                               "[share of travel]; NaN without such a hold.")
        .def_readonly("final_opening", &CaseResult::final_opening, "[share of travel].")
        .def_readonly("codes", &CaseResult::codes)
        .def_readonly("history", &CaseResult::history, "Each code with state, count and freeze-frame.")
        .def_readonly("idle", &CaseResult::idle, "How the engine idled; None without one.")
        .def_property_readonly(
            "first_code_time",
            [](const CaseResult& r) {
                return r.codes.empty() ? std::optional<double>()
                                       : std::optional<double>(seconds(r.codes.front().confirmed));
            },
            "[s] since key-on, or None.")
        .def_readonly("outcome", &CaseResult::outcome)
        .def_readonly("detected_after", &CaseResult::detected_after,
                      "[s] from the first fault of the run to the first code set then or later; NaN: none.")
        .def_property_readonly(
            "reaction", [](const CaseResult& r) { return std::string(name_of(r.reaction)); },
            "The furthest rung of the ladder from the first fault on, or in all the run without one.")
        .def_property_readonly(
            "record", [](const CaseResult& r) -> const Record* { return r.record ? &*r.record : nullptr; },
            py::return_value_policy::reference_internal, "The record when a trace was asked for, else None.");
}

}  // namespace

void bind_study(py::module_& m) {
    bind_case(m);
    bind_idle_report(m);
    bind_result(m);
    m.def("run_case", &run_released, py::arg("case"), py::kw_only(), py::arg("learned") = py::none(),
          py::arg("trace") = false, py::arg("controller") = py::none(), py::arg("monitor") = py::none(),
          "Runs one case; a pure function. `learned`: the LearnResult of `run_learn(case)`, so that cases can share "
          "one. `controller`, `monitor`: as in run_batch; they go with `learned`, and without one nothing is learned.");
    m.def("run_learn", &learn_released, py::arg("case"), py::kw_only(), py::arg("unit") = py::none(),
          "The range learn of a stale or fresh case. `unit`: as in learn().");
    m.def(
        "judge",
        [](const Record& record, const bench::Stroke& stroke) {
            return std::string(name_of(judge(record, stroke).response));
        },
        py::arg("record"), py::arg("stroke"), "none, right, wrong or uncommanded.");
    m.def(
        "limits",
        [] {
            const Limits l;
            py::dict d;
            const auto add = [&](const char* name, double value, const char* unit, const char* origin) {
                d[name] = py::make_tuple(value, unit, origin);
            };
            add("moved", l.moved, "", "this bench's own: a blade that moves less does not answer");
            add("settled", l.settled, "", "this bench's own: the resolution a driver notices");
            add("unasked", l.unasked, "", "student-competition rules 2024, T.4.2.4 and IC.4.4.3");
            add("unasked_time", l.unasked_time, "s", "student-competition rules 2024, T.4.2.5 and IC.4.4.4");
            return d;
        },
        "Where the judgement draws its lines: name -> (value, unit, origin).");
}

}  // namespace twintrack::python
