// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/fault_checks.hpp"

#include <variant>

#include "given.hpp"
#include "interrupt.hpp"
#include "units.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

using Previous = std::optional<std::variant<control::LearnedRange, control::RangeStore>>;
using LearnDisturbanceLike = std::variant<LearnDisturbance, std::string>;

control::RangeStore store_of(const Previous& previous) {
    if (!previous) return {};
    if (const auto* range = std::get_if<control::LearnedRange>(&*previous)) return control::RangeStore(*range);
    return std::get<control::RangeStore>(*previous);
}

LearnRun learn_bench(Given<BenchParameters> parameters, Given<std::optional<Stroke>> stroke,
                     Given<std::vector<fault::Fault>> faults, Given<std::vector<LearnDisturbanceLike>> disturbances,
                     Given<Previous> previous, Given<std::optional<std::string>> strictness, const py::object& unit) {
    BenchParameters p = parameters.get("parameters", "BenchParameters");
    if (!strictness.value.is_none())
        p.learn = control::learn_parameters(enumerator<control::Strictness>(strictness.value, "strictness"));
    LearnOptions options{stroke.get("stroke", "a Stroke").value_or(Stroke::two_presses()),
                         faults.get("faults", "a list of Fault"),
                         {},
                         store_of(previous.get("previous", "a LearnedRange or a RangeStore")),
                         learn_factory(unit)};
    for (const LearnDisturbanceLike& m : disturbances.get("disturbances", "a list of LearnDisturbance or of names"))
        options.disturbances.push_back(std::holds_alternative<LearnDisturbance>(m)
                                           ? std::get<LearnDisturbance>(m)
                                           : LearnDisturbance{.name = std::get<std::string>(m)});
    check_length(p, options.stroke.duration());
    check_faults(p, options.faults, false, {});
    Interrupted signal;
    LearnRun result = [&] {
        py::gil_scoped_release unlocked;
        return learn(p, options, signal.question());
    }();
    signal.raise_if_set();
    return result;
}

void bind_learn_run(py::module_& m) {
    py::class_<LearnRun>(m, "LearnRun", "What a range learn gave.")
        .def_readonly("result", &LearnRun::result)
        .def_property_readonly("accepted", [](const LearnRun& r) { return r.result.accepted; })
        .def_property_readonly("reason", [](const LearnRun& r) { return r.result.reason; })
        .def_property_readonly("refusal", [](const LearnRun& r) { return std::string(name_of(r.result.refusal)); })
        .def_property_readonly("stopped_in",
                               [](const LearnRun& r) { return std::string(name_of(r.result.stopped_in)); })
        .def_property_readonly("range", [](const LearnRun& r) { return r.result.range; })
        .def_property_readonly("measures", [](const LearnRun& r) { return r.result.measures; })
        .def_readonly("store", &LearnRun::store, "The memory afterwards: the new record, or the old one as it was.")
        .def_readonly("record", &LearnRun::record, py::return_value_policy::reference_internal)
        .def_property_readonly(
            "state",
            [](const LearnRun& r) {
                std::vector<std::string> names;
                for (const double s : r.state)
                    names.emplace_back(name_of(static_cast<control::LearnState>(static_cast<int>(s))));
                return names;
            },
            "Name of the learn's step at each recorded time.")
        .def_readonly("outcome", &LearnRun::outcome);
}

}  // namespace

void bind_learn(py::module_& m) {
    bind_learn_disturbance(m);
    bind_learn_run(m);
    m.def("learn", &learn_bench, py::arg("parameters"), py::arg("stroke") = py::none(), py::kw_only(),
          py::arg("faults") = std::vector<fault::Fault>{},
          py::arg("disturbances") = std::vector<LearnDisturbanceLike>{}, py::arg("previous") = py::none(),
          py::arg("strictness") = py::none(), py::arg("unit") = py::none(),
          "Runs the range learn; the foot does `stroke` (two full presses unless given) and stays where it ends.\n\n"
          "`disturbances`: LearnDisturbance values or names. `previous`: what the memory holds before, a\n"
          "LearnedRange or a RangeStore. `strictness`: \"strict\", \"default\" or \"careless\" in place of\n"
          "`parameters.learn`. `unit`: a learn of one's own, an object with step(ControlInput) -> Command or\n"
          "LearnAnswer, or a factory (range learned before or None, bench, period) of one. Releases the interpreter\n"
          "lock.\n\n"
          "Caution: local law and licensed practice come first. A simulation is no proof of safety.\n"
          "At a real throttle: engine off, wheels chocked, hands and tools out of the bore; the blade can move by "
          "itself.");
}

}  // namespace twintrack::python
