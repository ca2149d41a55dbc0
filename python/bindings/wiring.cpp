// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/wiring.hpp"
#include "twintrack/core/error.hpp"

#include "fields.hpp"

namespace twintrack::python {

namespace {

using Pedal = sensing::PedalParameters;
using Body = sensing::ThrottleBodyParameters;

void bind_pin_outs(py::module_& m) {
    m.def("correct_pin_out", &wiring::correct_pin_out, py::arg("pedal"), py::arg("body"),
          "Every terminal of the pair to the pin of its own function.");
    m.def("controller_pins", &wiring::controller_pins, py::arg("pedal"), py::arg("body"),
          "Pins of a controller that serves this pair.");
    m.def(
        "pair_terminals",
        [](const Pedal& pedal, const Body& body) {
            std::vector<std::pair<std::string, std::string>> list;
            for (const auto& t : wiring::terminals(pedal, body)) list.emplace_back(t.connector, t.name);
            return list;
        },
        py::arg("pedal"), py::arg("body"), "(connector, terminal) of the pair, the pedal's first.");
    m.def("pin_out_remarks", &wiring::remarks, py::arg("pin_out"), py::arg("pedal"), py::arg("body"),
          "What is odd about a pin-out, in sentences; empty for a correct one. InvalidParameter for names that do not "
          "exist.");
}

}  // namespace

void bind_wiring(py::module_& m) {
    bind_struct<wiring::Joint>(m, "Joint", "A wire from a terminal to a pin.");
    bind_struct<wiring::WireParameters>(m, "WireParameters", "A wire with its contacts and splices.")
        .def_property_readonly(
            "resistance", [](const wiring::WireParameters& w) { return wiring::resistance(w); }, "[ohm], all of it.");
    bind_struct<wiring::ControllerSideParameters>(m, "ControllerSideParameters",
                                                  "The controller's side of the wiring.");
    bind_struct<wiring::HarnessParameters>(m, "HarnessParameters", "Wires, sensor loads and the controller's side.");
    bind_struct<bench::WiringParameters>(m, "WiringParameters", "Everything between terminals and pins.");
    bind_pin_outs(m);
}

}  // namespace twintrack::python
