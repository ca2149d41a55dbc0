// SPDX-License-Identifier: BSD-3-Clause
#include "meter.hpp"

#include "fields.hpp"
#include "twintrack/bench/meter.hpp"
#include "twintrack/wiring/spice.hpp"

namespace twintrack::python {

namespace {

using Faults = std::vector<fault::Fault>;
using Stands = std::vector<std::pair<double, std::string>>;
using Pairs = std::vector<std::pair<std::string, std::string>>;

bench::Stand stand_of(double foot, const std::string& blade) {
    return {foot, enumerator<bench::BladePose>(py::str(blade), "blade")};
}

py::array_t<double> volts(const bench::BenchParameters& p, const Faults& faults, const Stands& given) {
    std::vector<bench::Stand> stands;
    for (const auto& [foot, blade] : given) stands.push_back(stand_of(foot, blade));
    std::vector<double> found;
    {
        const py::gil_scoped_release release;
        found = bench::standing_volts(p, faults, stands);
    }
    const std::size_t columns = stands.empty() ? 0 : found.size() / stands.size();
    return py::array_t<double>({stands.size(), columns}, found.data());
}

py::array_t<double> ohms(const bench::BenchParameters& p, const Faults& faults, const Pairs& pairs, bool motor) {
    std::vector<double> found;
    {
        const py::gil_scoped_release release;
        found = bench::unplugged_ohms(p, faults, pairs, motor);
    }
    return py::array_t<double>(static_cast<py::ssize_t>(found.size()), found.data());
}

std::pair<std::string, std::vector<std::string>> deck(const bench::BenchParameters& p, const Faults& faults,
                                                      double foot, const std::string& blade) {
    const wiring::Netlist net = bench::standing_net(p, faults, stand_of(foot, blade));
    return {wiring::to_spice(net, "a bench that stands still"), net.nodes};
}

}  // namespace

void bind_meter(py::module_& m) {
    m.def(
        "meter_points", &bench::meter_points, py::arg("parameters"),
        "What the tip of a meter can touch: terminals, pins as 'pin NAME', the motor's leads off at the controller as "
        "'lead NAME', 'battery', 'controller supply', 'controller ground'.");
    m.def("standing_volts", &volts, py::arg("parameters"), py::kw_only(), py::arg("faults") = Faults{},
          py::arg("stands"),
          "Volts, stands x meter_points(), against the engine block, of a bench that stands still with the key on and "
          "the motor's leads off. A stand is (foot [share of travel], blade 'released', 'closed' or 'open'). NaN where "
          "the net has no answer. Releases the interpreter lock.");
    m.def("unplugged_ohms", &ohms, py::arg("parameters"), py::kw_only(), py::arg("faults") = Faults{}, py::arg("pairs"),
          py::arg("motor") = false,
          "Ohms between pairs of meter_points() or 'ground' with the key off, the battery's minus off and every "
          "connector apart; with `motor` the winding is still plugged in. Releases the interpreter lock.");
    m.def("standing_deck", &deck, py::arg("parameters"), py::kw_only(), py::arg("faults") = Faults{},
          py::arg("foot") = 0.0, py::arg("blade") = "released",
          "(text, nodes): the net behind standing_volts() as a SPICE deck without analysis lines, whose node nK is the "
          "K-th of the list.");
}

}  // namespace twintrack::python
