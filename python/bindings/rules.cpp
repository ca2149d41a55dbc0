// SPDX-License-Identifier: BSD-3-Clause
#include "fields.hpp"
#include "interrupt.hpp"
#include "session_options.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/study/batch.hpp"
#include "twintrack/study/learned_travel.hpp"
#include "twintrack/study/verdict.hpp"
#include "units.hpp"

namespace twintrack::python {

using namespace study;

namespace {

using Column = py::array_t<double, py::array::c_style | py::array::forcecast>;

void bind_rule(py::module_& m) {
    py::class_<Rule>(m, "Rule", "A written requirement: wherever `applies` holds, `requires` must hold.")
        .def(py::init([](std::string name, Formula requirement, std::optional<Formula> applies, std::string set,
                         std::string source, std::string clause, std::string sentence, std::string basis,
                         std::string unit, double scale, std::string unseen) {
                 Rule r{std::move(set),
                        std::move(name),
                        std::move(source),
                        std::move(clause),
                        std::move(sentence),
                        std::move(basis),
                        applies.value_or(truth(true)),
                        std::move(requirement),
                        std::move(unit),
                        scale,
                        std::move(unseen)};
                 check(r, "");
                 return r;
             }),
             py::kw_only(), py::arg("name"), py::arg("requires"), py::arg("applies") = py::none(), py::arg("set") = "",
             py::arg("source") = "", py::arg("clause") = "", py::arg("sentence") = "", py::arg("basis") = "",
             py::arg("unit") = "", py::arg("scale") = 1.0, py::arg("unseen") = "")
        .def_readonly("set", &Rule::set)
        .def_readonly("name", &Rule::name)
        .def_readonly("source", &Rule::source)
        .def_readonly("clause", &Rule::clause)
        .def_readonly("sentence", &Rule::sentence, "What it asks, in words.")
        .def_readonly("basis", &Rule::basis, "How well its numbers are known.")
        .def_readonly("applies", &Rule::applies)
        .def_readonly("requires", &Rule::requirement)
        .def_readonly("unit", &Rule::unit, "Of the margin; empty: a share.")
        .def_readonly("scale", &Rule::scale, "What a margin is compared with.")
        .def_readonly("unseen", &Rule::unseen, "Why no record can show it, else empty.")
        .def("__repr__", [](const Rule& r) { return "<Rule " + r.clause + ": " + r.name + ">"; });
    m.def("built_in_rules", &built_in_rules, "Every built-in rule.");
    m.def(
        "rule_signals",
        [] {
            std::map<std::string, std::string> units;
            for (const auto& s : rule_signals()) units[s.name] = s.unit;
            return units;
        },
        "Name and unit of every signal and figure that a rule may speak of.");
}

std::string told(const Verdict& v) {
    std::string text = "<" + v.rule + ": " + name_of(v.finding);
    if (v.when) text += " at " + py::str(py::float_(*v.when)).cast<std::string>() + " s";
    if (v.margin) text += ", margin " + py::str(py::float_(*v.margin)).cast<std::string>();
    return text + (v.reason.empty() ? "" : " (" + v.reason + ")") + ">";
}

void bind_verdict(py::module_& m) {
    py::class_<Verdict>(m, "Verdict", "What a record did against a rule.")
        .def_readonly("rule", &Verdict::rule, "Name of the rule.")
        .def_property_readonly(
            "finding", [](const Verdict& v) { return std::string(name_of(v.finding)); },
            "passed, failed or not applicable.")
        .def_readonly("when", &Verdict::when, "[s] where the requirement first does not hold, or None.")
        .def_readonly("worst", &Verdict::worst, "[s] where the margin is least, or None.")
        .def_readonly("margin", &Verdict::margin,
                      "Least margin, in the rule's unit; negative: failed; infinite where no number decides.")
        .def_readonly("reason", &Verdict::reason, "Why the rule is not applicable.")
        .def("__eq__",
             [](const Verdict& a, py::handle b) { return py::isinstance<Verdict>(b) && a == b.cast<Verdict>(); })
        .def("__hash__", [](const Verdict& v) { return py::hash(py::str(told(v))); })
        .def("__repr__", &told);
}

Record record_of(const Column& time, const std::map<std::string, Column>& columns) {
    std::vector<Signal> signals;
    for (const auto& [name, column] : columns) {
        if (column.ndim() != 1 || time.ndim() != 1 || column.size() != time.size())
            throw InvalidParameter(name, "must have one value for each time");
        signals.push_back({name, ""});
    }
    Record record(signals);
    std::vector<double> row(columns.size());
    for (py::ssize_t i = 0; i < time.size(); ++i) {
        if (!(std::fabs(time.data()[i]) <= 1e9))
            throw InvalidParameter("time", "must be finite and within ±1e9 s, in row " + std::to_string(i + 1));
        std::size_t k = 0;
        for (const auto& entry : columns) row[k++] = entry.second.data()[i];
        record.append(from_seconds(time.data()[i]), row);
    }
    return record;
}

std::vector<Verdict> judged(const std::vector<Rule>& rules, const Record& record,
                            const std::optional<bench::BenchParameters>& parameters,
                            const std::optional<control::LearnedRange>& learned) {
    py::gil_scoped_release unlocked;
    return judge(rules, parameters ? observed(record, *parameters, learned) : Trace(record));
}

std::vector<Ran> batch_released(const std::vector<Case>& cases,
                                const std::vector<std::optional<control::LearnResult>>& learned,
                                const std::string& solver, std::vector<Rule> rules,
                                std::vector<bench::BenchParameters> judges, std::vector<std::string> signals,
                                double substep, int threads, const py::object& controller, const py::object& monitor) {
    if (solver != "lanes" && solver != "exact")
        throw InvalidParameter("solver", "must be 'lanes' or 'exact'; got '" + solver + "'");
    Interrupted signal;
    const BatchOptions options{.exact = solver == "exact",
                               .substep = substep,
                               .threads = threads,
                               .rules = std::move(rules),
                               .judges = std::move(judges),
                               .units = {controller_factory(controller), monitor_factory(monitor), {}},
                               .signals = std::move(signals)};
    auto ran = [&] {
        py::gil_scoped_release unlocked;
        return run_batch(cases, learned, options, signal.question());
    }();
    signal.raise_if_set();
    return ran;
}

void bind_batch(py::module_& m) {
    py::class_<Ran>(m, "Ran", "What became of one case of a batch.")
        .def_readonly("result", &Ran::result, "CaseResult; None when the case was refused.")
        .def_readonly("refused", &Ran::refused, "Why the case cannot be run, in one sentence; else empty.")
        .def_property_readonly("solver", [](const Ran& r) { return r.in_lanes ? "lanes" : "exact"; })
        .def_readonly("verdicts", &Ran::verdicts, "One a rule.");
    m.def("run_batch", &batch_released, py::arg("cases"), py::arg("learned"), py::kw_only(),
          py::arg("solver") = "lanes", py::arg("rules") = std::vector<Rule>{},
          py::arg("judges") = std::vector<bench::BenchParameters>{}, py::arg("signals") = std::vector<std::string>{},
          py::arg("substep") = 2e-4, py::arg("threads") = 1, py::arg("controller") = py::none(),
          py::arg("monitor") = py::none(),
          "Runs many cases after their learns (LearnResult or None each), in order: \"lanes\" runs in lanes those that "
          "lanes can take and the others in the exact solver, \"exact\" all there. `rules` are held against each "
          "record, by `judges` (the bench of each case by default); records keep `signals` only. `controller`: a "
          "factory (LearnedRange or None, BenchParameters, period [s]) -> object with step(ControlInput) -> Command, "
          "called once a case; `monitor` likewise, step(ControlInput, Command) -> MonitorAnswer; then all run in the "
          "exact "
          "solver. Releases the interpreter lock.");
}

}  // namespace

void bind_rules(py::module_& m) {
    bind_formula(m);
    bind_rule(m);
    bind_verdict(m);
    bind_batch(m);
    m.def("record_of", &record_of, py::arg("time"), py::arg("columns"),
          "A Record from arrays: time [s], shape (n,), and a dict of signals of that length.");
    m.def(
        "answer",
        [](const Formula& f, const Record& record) {
            const Robustness a = answer(f, Trace(record));
            py::array_t<bool> holds(static_cast<py::ssize_t>(a.holds.size()));
            for (std::size_t i = 0; i < a.holds.size(); ++i) holds.mutable_data()[i] = a.holds[i] != 0;
            return py::make_tuple(holds,
                                  py::array_t<double>(static_cast<py::ssize_t>(a.margin.size()), a.margin.data()));
        },
        py::arg("formula"), py::arg("record"), "Truth and margin of a formula at each row, shapes (n,).");
    m.def(
        "learned_travel", &learned_travel, py::arg("parameters"), py::arg("learned"), py::kw_only(),
        py::arg("faults") = std::vector<fault::Fault>{},
        "What the controller believes with pedal and blade held at 0, 1, … 100 % of travel: a Record whose time of x s "
        "is the true position x.");
    m.def("learned_range_rules", &learned_range_rules, "The rules to be judged on `learned_travel`.");
    m.def("judge_rules", &judged, py::arg("rules"), py::arg("record"), py::kw_only(),
          py::arg("parameters") = py::none(), py::arg("learned") = py::none(),
          "One Verdict a rule; with the bench's parameters and learned range the rules on tracks and idle apply.");
}

}  // namespace twintrack::python
