// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/learn.hpp"

#include <variant>

#include "fields.hpp"
#include "interrupt.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

using Previous = std::optional<std::variant<control::LearnedRange, control::RangeStore>>;
using MishapLike = std::variant<Mishap, std::string>;

control::RangeStore store_of(const Previous& previous) {
    if (!previous) return {};
    if (const auto* range = std::get_if<control::LearnedRange>(&*previous)) return control::RangeStore(*range);
    return std::get<control::RangeStore>(*previous);
}

LearnRun learn_bench(BenchParameters p, std::optional<Stroke> stroke, std::vector<fault::Fault> faults,
                     const std::vector<MishapLike>& mishaps, const Previous& previous,
                     const std::optional<std::string>& strictness) {
    if (strictness)
        p.learn = control::learn_parameters(enumerator<control::Strictness>(py::str(*strictness), "strictness"));
    LearnOptions options{stroke.value_or(Stroke::two_presses()), std::move(faults), {}, store_of(previous)};
    for (const MishapLike& m : mishaps)
        options.mishaps.push_back(std::holds_alternative<Mishap>(m) ? std::get<Mishap>(m)
                                                                    : Mishap{.name = std::get<std::string>(m)});
    Interrupted signal;
    LearnRun result = [&] {
        py::gil_scoped_release unlocked;
        return learn(p, options, signal.question());
    }();
    signal.raise_if_set();
    return result;
}

void bind_mishap(py::module_& m) {
    py::class_<MishapKind>(m, "MishapKind", "An entry of the list of what can go wrong during a learn.")
        .def_readonly("name", &MishapKind::name)
        .def_readonly("unit", &MishapKind::unit)
        .def_readonly("least", &MishapKind::least)
        .def_readonly("most", &MishapKind::most, "Equal to `least`: takes no amount.")
        .def_readonly("usual", &MishapKind::usual, "The amount when none is given.")
        .def_readonly("places", &MishapKind::places, "Empty: needs no place.")
        .def_readonly("meaning", &MishapKind::meaning)
        .def_readonly("severities", &MishapKind::severities, "Amounts worth trying, mild first; empty: takes none.")
        .def_readonly("can_stay", &MishapKind::can_stay, "May still be there when one drives off.")
        .def("__repr__", [](const MishapKind& k) { return std::string("MishapKind(") + k.name + ")"; });
    py::class_<Mishap>(m, "Mishap", "Something that goes wrong during a range learn; see `mishap_catalogue()`.")
        .def(py::init([](std::string name, std::optional<double> amount, std::string where) {
                 Mishap made{std::move(name), amount, std::move(where)};
                 (void)with_mishaps({.stroke = Stroke::two_presses()}, {made});  // refuses what no learn would take
                 return made;
             }),
             py::arg("name"), py::arg("amount") = py::none(), py::arg("where") = "",
             "`amount` in the unit of the catalogue, the usual one unless given.")
        .def_readonly("name", &Mishap::name)
        .def_readonly("amount", &Mishap::amount)
        .def_readonly("where", &Mishap::where)
        .def("__repr__", [](const Mishap& x) {
            return "Mishap('" + x.name + "'" + (x.amount ? ", amount=" + std::to_string(*x.amount) : "") +
                   (x.where.empty() ? "" : ", where='" + x.where + "'") + ")";
        });
    m.def("lasting_faults", &lasting_faults, py::arg("mishaps"), "The faults of those mishaps that can stay.");
    m.def("mishap_catalogue", &mishap_catalogue, "Everything that can be let go wrong during a learn.");
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
    bind_mishap(m);
    bind_learn_run(m);
    m.def("learn", &learn_bench, py::arg("parameters"), py::arg("stroke") = py::none(), py::kw_only(),
          py::arg("faults") = std::vector<fault::Fault>{}, py::arg("mishaps") = std::vector<MishapLike>{},
          py::arg("previous") = py::none(), py::arg("strictness") = py::none(),
          "Runs the range learn; the foot does `stroke` (two full presses unless given) and stays where it ends.\n\n"
          "`mishaps`: what goes wrong, as Mishap values or names. `previous`: what the memory holds before, a\n"
          "LearnedRange or a RangeStore. `strictness`: \"strict\", \"default\" or \"careless\" in place of\n"
          "`parameters.learn`. Releases the interpreter lock.");
}

}  // namespace twintrack::python
