// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/monitor.hpp"

#include "cards.hpp"
#include "fields.hpp"

namespace twintrack::python {

using namespace monitor;

namespace {

void bind_checks(py::module_& m) {
    bind_struct<CheckParameters>(m, "CheckParameters", "How long a check must see a fault, and whether it forgets.");
    bind_struct<VoltsBandParameters>(m, "VoltsBandParameters", "The electrical band in volts.");
    bind_struct<VoltsLine>(m, "VoltsLine", "The second track's volts as a line over the first's.");
    bind_struct<VoltsParameters>(m, "VoltsParameters", "Correlation in volts.");
    bind_struct<RateParameters>(m, "RateParameters", "A reading that changes faster than possible.");
    bind_struct<StuckParameters>(m, "StuckParameters", "A track that stands while its partner moves.");
    bind_struct<DriftParameters>(m, "DriftParameters", "A track beyond its learned ends.");
    bind_struct<MotionParameters>(m, "MotionParameters", "Drive against current and movement.");
    bind_struct<SpringParameters>(m, "SpringCheckParameters", "A blade without power that is not at its default.");
    bind_struct<DefaultParameters>(m, "DefaultCheckParameters", "A blade that is not at its default at key-on.");
    bind_struct<WindowParameters>(m, "WindowParameters", "A voltage that must stay in a window.");
    bind_struct<ElectronicsParameters>(m, "ElectronicsParameters", "Resets of the controller, and its motor bridge.");
    bind_struct<BrakeCheckParameters>(m, "BrakeCheckParameters", "Brake and throttle at once; the brake's sensor.");
    bind_struct<FunctionMonitorParameters>(m, "FunctionMonitorParameters", "The second, independent function monitor.");
    bind_struct<ShutdownDeviceParameters>(m, "ShutdownDeviceParameters",
                                          "The independent, non-programmable device of the competition rules.");
    bind_struct<IdleSwitchCheckParameters>(m, "IdleSwitchCheckParameters", "Idle switch against pedal tracks.");
    bind_struct<AirFlowParameters>(m, "AirFlowParameters", "Air flow against opening.");
    bind_struct<IdleSpeedParameters>(m, "IdleSpeedParameters", "Idle speed against its goal.");
}

void bind_reactions(py::module_& m) {
    bind_struct<Action>(m, "Action", "What a rung of the ladder of reactions orders.");
    bind_struct<Ladder>(m, "Ladder", "The rungs of the ladder above \"none\", mildest first.");
    bind_struct<ReactionRow>(m, "ReactionRow", "One line of the table of reactions: what follows from a check.");
    m.def(
        "reactions",
        [] {
            std::vector<std::string> found;
            for (const auto& [value, name] : names(Tag<Reaction>{})) found.emplace_back(name);
            return found;
        },
        "The ladder of reactions by name, mildest first; a record's signal \"reaction\" counts them from 0.");
    m.def("competition_reactions", &competition_reactions, "The default table: the student-competition rules 2024.");
    m.def("graded_reactions", &graded_reactions, "The ladder of the published three-level concept (from memory).");
}

void bind_setups(py::module_& m) {
    m.def("monitor_strict", &strict, "Narrow and quick, every check made; its numbers are this bench's own.");
    m.def("monitor_graded", &graded, "The default's thresholds with the graded ladder of reactions.");
    m.def("monitor_careless", &careless, "Each track alone, wide bands, long debouncing, no fallback.");
    m.def("monitor_unwatched", &unwatched, "No check, no reaction: the effect of a fault without a monitor.");
}

}  // namespace

void bind_monitor(py::module_& m) {
    bind_checks(m);
    bind_reactions(m);
    bind_struct<MonitorParameters>(m, "MonitorParameters", "Thresholds of the plausibility monitor.");
    bind_setups(m);
    py::class_<TroubleCode>(m, "TroubleCode", "A trouble code (SAE J2012) with its failure-type byte.")
        .def("_repr_html_", card_of("trouble_code"), "For notebooks.")
        .def_readonly("code", &TroubleCode::code)
        .def_readonly("failure_type", &TroubleCode::failure_type)
        .def_readonly("meaning", &TroubleCode::meaning)
        .def_property_readonly(
            "confirmed", [](const TroubleCode& c) { return seconds(c.confirmed); }, "[s] since key-on.")
        .def_property_readonly("text", &TroubleCode::text)
        .def("__repr__", [](const TroubleCode& c) {
            return c.text() + " (" + std::string(c.meaning) + ") at " + std::to_string(seconds(c.confirmed)) + " s";
        });
    bind_fault_memory(m);
}

}  // namespace twintrack::python
