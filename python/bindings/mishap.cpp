// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/mishap.hpp"

#include "given.hpp"
#include "twintrack/bench/learn.hpp"

namespace twintrack::python {

using namespace bench;

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
        .def(py::init([](Given<std::string> name, Given<std::optional<double>> amount, Given<std::string> where) {
                 Mishap made{text(name.value, "name"), {}, text(where.value, "where")};
                 if (!amount.value.is_none()) made.amount = number(amount.value, "amount");
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
    m.def(
        "check_mishaps",
        [](const std::vector<Mishap>& mishaps, bool stay) {
            (void)fault::Schedule(with_mishaps({Stroke::two_presses()}, mishaps).faults);
            if (stay) (void)fault::Schedule(lasting_faults(mishaps));
        },
        py::arg("mishaps"), py::kw_only(), py::arg("stay") = false,
        "Raises InvalidParameter for mishaps that cannot happen together, or with `stay` not stay together.");
    m.def("mishap_catalogue", &mishap_catalogue, "Everything that can be let go wrong during a learn.");
}

}  // namespace twintrack::python
