// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/fault_memory.hpp"

#include "fields.hpp"

namespace twintrack::python {

using namespace monitor;

void bind_fault_memory(py::module_& m) {
    py::class_<FreezeFrame>(m, "FreezeFrame", "All signals of the tick that first confirmed a code.")
        .def_readonly("input", &FreezeFrame::input)
        .def_readonly("command", &FreezeFrame::command, "Of the tick before.")
        .def_property_readonly(
            "reaction", [](const FreezeFrame& f) { return std::string(name_of(f.reaction)); }, "Before that tick.");
    py::class_<FaultEntry>(m, "FaultEntry", "A code and what became of it.")
        .def_readonly("code", &FaultEntry::code)
        .def_property_readonly(
            "state", [](const FaultEntry& e) { return std::string(name_of(e.state)); },
            "absent, pending, confirmed or healed.")
        .def_readonly("count", &FaultEntry::count, "How often it was confirmed.")
        .def_property_readonly(
            "last", [](const FaultEntry& e) { return seconds(e.last); }, "[s] since that key-on.")
        .def_property_readonly(
            "healed", [](const FaultEntry& e) { return seconds(e.healed); }, "[s] since that key-on.")
        .def_readonly("good_cycles", &FaultEntry::good_cycles, "Key cycles since without it.")
        .def_readonly("frame", &FaultEntry::frame, "The FreezeFrame, or None.");
    py::class_<FaultMemory>(m, "FaultMemory", "Codes over several key cycles: pass it from one run to the next.")
        .def(py::init<>())
        .def(
            "entries",
            [](const FaultMemory& f) {
                std::vector<FaultEntry> seen;
                for (const FaultEntry& e : f.entries())
                    if (e.state != CodeState::absent) seen.push_back(e);
                return seen;
            },
            "Every code that is not absent.")
        .def(
            "modes",
            [](const FaultMemory& f) {
                std::vector<FaultEntry> seen;
                for (const FaultEntry& e : f.modes())
                    if (e.state != CodeState::absent) seen.push_back(e);
                return seen;
            },
            "What the reactions forced (P2104 … P2106, P2110), as entries: every one that is not absent.")
        .def("clear", &FaultMemory::clear, "By command; what is confirmed and in force stays.")
        .def("key_off", &FaultMemory::key_off, "The key has been turned off.");
}

}  // namespace twintrack::python
