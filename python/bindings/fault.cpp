// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/fault/fault.hpp"

#include "fields.hpp"

namespace twintrack::python {

using fault::Fault;
using fault::Kind;

void bind_fault(py::module_& m) {
    py::class_<Fault>(m, "Fault", "What is wrong, where, from when to when, how much; see `fault_catalogue()`.")
        .def(py::init([](std::string where, std::string what, double amount, double start, std::optional<double> end,
                         double ramp) {
                 Fault f{std::move(where), std::move(what), from_seconds(start), {}, amount, from_seconds(ramp)};
                 if (end) f.to = from_seconds(*end);
                 (void)fault::Schedule({f});  // refuses what no schedule would take
                 return f;
             }),
             py::kw_only(), py::arg("where"), py::arg("what"), py::arg("amount") = 0.0, py::arg("start") = 0.0,
             py::arg("end") = py::none(), py::arg("ramp") = 0.0,
             "Times in seconds since key-on; `amount` in the unit of the catalogue.")
        .def_readonly("where", &Fault::where)
        .def_readonly("what", &Fault::what)
        .def_readonly("amount", &Fault::amount)
        .def_property_readonly("start", [](const Fault& f) { return seconds(f.from); })
        .def_property_readonly(
            "end", [](const Fault& f) { return f.to ? std::optional<double>(seconds(*f.to)) : std::nullopt; })
        .def_property_readonly("ramp", [](const Fault& f) { return seconds(f.ramp); })
        .def("__repr__", [](const Fault& f) {
            return "Fault(where='" + f.where + "', what='" + f.what + "', amount=" + std::to_string(f.amount) +
                   ", start=" + std::to_string(seconds(f.from)) + ")";
        });
    py::class_<Kind>(m, "FaultKind", "An entry of the fault catalogue.")
        .def_readonly("where", &Kind::where)
        .def_readonly("what", &Kind::what)
        .def_readonly("unit", &Kind::unit)
        .def_readonly("least", &Kind::least)
        .def_readonly("most", &Kind::most)
        .def_readonly("meaning", &Kind::meaning)
        .def("__repr__", [](const Kind& k) { return std::string("FaultKind(") + k.where + ", " + k.what + ")"; });
    m.def("fault_catalogue", &fault::catalogue, "Every fault there is.");
}

}  // namespace twintrack::python
