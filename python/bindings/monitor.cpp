// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/monitor.hpp"

#include "fields.hpp"

namespace twintrack::python {

void bind_monitor(py::module_& m) {
    using namespace monitor;
    bind_struct<CheckParameters>(m, "CheckParameters", "How long a check must see a fault, and whether it forgets.");
    bind_struct<Action>(m, "Action", "What a rung of the ladder of reactions orders.");
    bind_struct<Ladder>(m, "Ladder", "The rungs of the ladder above \"none\", mildest first.");
    m.def(
        "reactions",
        [] {
            std::vector<std::string> found;
            for (const auto& [value, name] : names(Tag<Reaction>{})) found.emplace_back(name);
            return found;
        },
        "The ladder of reactions by name, mildest first; a record's signal \"reaction\" counts them from 0.");
    bind_struct<MonitorParameters>(m, "MonitorParameters", "Thresholds of the plausibility monitor.");
    py::class_<TroubleCode>(m, "TroubleCode", "A trouble code (SAE J2012) with its failure-type byte.")
        .def_readonly("code", &TroubleCode::code)
        .def_readonly("failure_type", &TroubleCode::failure_type)
        .def_readonly("meaning", &TroubleCode::meaning)
        .def_property_readonly(
            "confirmed", [](const TroubleCode& c) { return seconds(c.confirmed); }, "[s] since key-on.")
        .def_property_readonly("text", &TroubleCode::text)
        .def("__repr__", [](const TroubleCode& c) {
            return c.text() + " (" + c.meaning + ") at " + std::to_string(seconds(c.confirmed)) + " s";
        });
}

}  // namespace twintrack::python
