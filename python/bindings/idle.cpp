// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/idle.hpp"

#include "fields.hpp"

namespace twintrack::python {

using namespace study;

void bind_idle_report(py::module_& m) {
    py::class_<IdleReport>(m, "IdleReport", "How an engine idled; NaN where the run had no such time.")
        .def_readonly("started", &IdleReport::started)
        .def_readonly("stalls", &IdleReport::stalls)
        .def_readonly("speed", &IdleReport::speed, "[rad/s] mean before load, foot or key change something.")
        .def_readonly("set_point", &IdleReport::set_point, "[rad/s].")
        .def_property_readonly("deviation", &IdleReport::deviation, "[rad/s] speed minus set point.")
        .def_readonly("hunting", &IdleReport::hunting, "[rad/s] half of peak to peak.")
        .def_readonly("hunting_period", &IdleReport::hunting_period, "[s].")
        .def_readonly("settling_time", &IdleReport::settling_time, "[s] from the starter's first turn.")
        .def_readonly("air_flow", &IdleReport::air_flow, "[kg/s].")
        .def_readonly("pressure", &IdleReport::pressure, "[Pa] in the manifold.")
        .def_readonly("opening", &IdleReport::opening, "Of the blade [share of travel].")
        .def_readonly("authority", &IdleReport::authority, "Share of the governor's air that is left.")
        .def_readonly("load_dip", &IdleReport::load_dip, "[rad/s] deepest below the set point under load.")
        .def_readonly("return_time", &IdleReport::return_time, "[s] from the foot's last release into the band.")
        .def_readonly("highest", &IdleReport::highest, "[rad/s] most above the set point with the foot off.")
        .def_readonly("runaway", &IdleReport::runaway, "[s] longest time far above the set point.")
        .def_readonly("stop_time", &IdleReport::stop_time, "[s] from key-off until the engine stands; inf: never.")
        .def_readonly("off_opening", &IdleReport::off_opening, "Of the blade at the end, the key off.")
        .def_readonly("driven_off", &IdleReport::driven_off, "The motor was driven after key-off.")
        .def_property_readonly(
            "finding", [](const IdleReport& r) { return std::string(name_of(r.finding)); },
            "right, noticed, wrong or dangerous.")
        .def_property_readonly("sentence", [](const IdleReport& r) { return sentence(r); });
    m.def(
        "idle_report",
        [](const Record& record, const bench::Stroke& stroke, const bench::EngineCourse& course, bool reported,
           bool uncommanded) { return idle_report(record, stroke, course, reported, uncommanded); },
        py::arg("record"), py::arg("stroke"), py::arg("course"), py::kw_only(), py::arg("reported") = false,
        py::arg("uncommanded") = false,
        "How the engine idled in a record. `reported`: a trouble code or a refused learn; `uncommanded`: the verdict "
        "on the "
        "blade.");
}

}  // namespace twintrack::python
