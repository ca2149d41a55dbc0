// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/learn_disturbance.hpp"

#include "given.hpp"
#include "twintrack/bench/learn.hpp"

namespace twintrack::python {

using namespace bench;

void bind_learn_disturbance(py::module_& m) {
    py::class_<LearnDisturbanceKind>(m, "LearnDisturbanceKind",
                                     "An entry of the list of what can go wrong during a learn.")
        .def_readonly("name", &LearnDisturbanceKind::name)
        .def_readonly("unit", &LearnDisturbanceKind::unit)
        .def_readonly("least", &LearnDisturbanceKind::least)
        .def_readonly("most", &LearnDisturbanceKind::most, "Equal to `least`: takes no amount.")
        .def_readonly("usual", &LearnDisturbanceKind::usual, "The amount when none is given.")
        .def_readonly("places", &LearnDisturbanceKind::places, "Empty: needs no place.")
        .def_readonly("meaning", &LearnDisturbanceKind::meaning)
        .def_readonly("severities", &LearnDisturbanceKind::severities,
                      "Amounts worth trying, mild first; empty: takes none.")
        .def_readonly("can_stay", &LearnDisturbanceKind::can_stay, "May still be there when one drives off.")
        .def("__repr__",
             [](const LearnDisturbanceKind& k) { return std::string("LearnDisturbanceKind(") + k.name + ")"; });
    py::class_<LearnDisturbance>(m, "LearnDisturbance",
                                 "a disturbance of a range learn; see `disturbance_catalogue()`.")
        .def(py::init([](Given<std::string> name, Given<std::optional<double>> amount, Given<std::string> where) {
                 LearnDisturbance made{text(name.value, "name"), {}, text(where.value, "where")};
                 if (!amount.value.is_none()) made.amount = number(amount.value, "amount");
                 (void)with_disturbances({.stroke = Stroke::two_presses()},
                                         {made});  // refuses what no learn would take
                 return made;
             }),
             py::arg("name"), py::arg("amount") = py::none(), py::arg("where") = "",
             "`amount` in the unit of the catalogue, the usual one unless given.")
        .def_readonly("name", &LearnDisturbance::name)
        .def_readonly("amount", &LearnDisturbance::amount)
        .def_readonly("where", &LearnDisturbance::where)
        .def("__repr__", [](const LearnDisturbance& x) {
            return "LearnDisturbance('" + x.name + "'" + (x.amount ? ", amount=" + std::to_string(*x.amount) : "") +
                   (x.where.empty() ? "" : ", where='" + x.where + "'") + ")";
        });
    m.def("lasting_faults", &lasting_faults, py::arg("disturbances"),
          "The faults of those disturbances that can stay.");
    m.def(
        "check_disturbances",
        [](const std::vector<LearnDisturbance>& disturbances, bool stay) {
            (void)fault::Schedule(with_disturbances({Stroke::two_presses()}, disturbances).faults);
            if (stay) (void)fault::Schedule(lasting_faults(disturbances));
        },
        py::arg("disturbances"), py::kw_only(), py::arg("stay") = false,
        "Raises InvalidParameter for disturbances that cannot happen together, or with `stay` not stay together.");
    m.def("disturbance_catalogue", &disturbance_catalogue, "Everything that can be let go wrong during a learn.");
}

}  // namespace twintrack::python
