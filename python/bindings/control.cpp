// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/controller.hpp"
#include "twintrack/control/power.hpp"
#include "twintrack/control/range_learn.hpp"
#include "twintrack/control/tuning.hpp"

#include "fields.hpp"

namespace twintrack::python {

using namespace control;

namespace {

void bind_result(py::module_& m) {
    auto c = py::class_<LearnMeasures>(m, "LearnMeasures", "The learn in numbers; NaN what it did not come to.");
    c.def_readonly("default_opening", &LearnMeasures::default_opening, "[share of travel].")
        .def_readonly("default_repeat", &LearnMeasures::default_repeat, "[share of travel] from below and from above.")
        .def_readonly("opener_time", &LearnMeasures::opener_time, "[s] closed stop to rest.")
        .def_readonly("return_time", &LearnMeasures::return_time, "[s] open stop to rest.")
        .def_readonly("throttle_bend", &LearnMeasures::throttle_bend, "[share of span] worst track.")
        .def_readonly("throttle_noise", &LearnMeasures::throttle_noise, "[share of full scale] rms.")
        .def_readonly("pedal_bend", &LearnMeasures::pedal_bend, "[share of span] worst track.")
        .def_readonly("pedal_noise", &LearnMeasures::pedal_noise, "[share of full scale] rms.")
        .def_readonly("press_difference", &LearnMeasures::press_difference, "[share of span].");
    py::class_<LearnResult>(m, "LearnResult", "How a range learn ended.")
        .def_readonly("accepted", &LearnResult::accepted)
        .def_readonly("reason", &LearnResult::reason, "Why it was refused, with the numbers; empty when accepted.")
        .def_property_readonly(
            "refusal", [](const LearnResult& r) { return std::string(name_of(r.refusal)); },
            "Name of the refusal, such as \"presses differ\"; \"none\" when accepted.")
        .def_readonly("measured", &LearnResult::measured, "What the refusal looked at; NaN where it is no number.")
        .def_readonly("limit", &LearnResult::limit, "What it was held against.")
        .def_readonly("measures", &LearnResult::measures)
        .def_property_readonly(
            "stopped_in", [](const LearnResult& r) { return std::string(name_of(r.stopped_in)); },
            "The step it ended in.")
        .def_readonly("range", &LearnResult::range, "The learned range, or None.");
    m.def(
        "learn_parameters",
        [](const std::string& strictness) {
            return learn_parameters(enumerator<Strictness>(py::str(strictness), "strictness"));
        },
        py::arg("strictness") = "default", "How much a range learn believes: \"strict\", \"default\" or \"careless\".");
    m.def("learn_diagram", &learn_diagram, "The steps of the range learn as a diagram in Mermaid's text form.");
}

py::dict loop_gains(const ControllerParameters& p, const plant::BodyMechanics& body, double period,
                    double filter_time) {
    const Controller controller(p, body, {}, from_seconds(period), filter_time, 12);
    const LoopCoefficients<double>& loop = controller.loop();
    py::dict out;
    out["proportional"] = loop.pid.proportional;
    out["integral"] = controller.gains().integral;
    out["derivative"] = controller.gains().derivative;
    out["decay"] = loop.observer.decay;
    out["angle_of_speed"] = loop.observer.angle_of_speed;
    out["angle_of_volts"] = loop.observer.angle_of_volts;
    out["speed_of_volts"] = loop.observer.speed_of_volts;
    out["angle_gain"] = loop.observer.angle_gain;
    out["speed_gain"] = loop.observer.speed_gain;
    out["load_gain"] = loop.observer.load_gain;
    return out;
}

}  // namespace

void bind_control(py::module_& m) {
    bind_struct<PedalMapParameters>(m, "PedalMapParameters", "Pedal position to demanded opening.");
    bind_struct<PidParameters>(m, "PidParameters", "PID gains.");
    bind_struct<SelfTestParameters>(m, "SelfTestParameters", "The test of default position and springs at key-on.");
    bind_struct<ClosedStopParameters>(m, "ClosedStopParameters", "Following of the closed stop while running.");
    bind_struct<PowerParameters>(m, "PowerParameters", "Supply and reset of the controller.");
    bind_struct<ControllerParameters>(m, "ControllerParameters", "The built-in position controller.");
    bind_struct<LearnLimits>(m, "LearnLimits", "What a range learn believes.");
    bind_struct<LearnParameters>(m, "LearnParameters", "The range learn.");
    m.def(
        "tuned_gains",
        [](const plant::BodyMechanics& body, double period, double filter_time) {
            return damping_optimum(loop_model(body, period, filter_time));
        },
        py::arg("mechanics"), py::arg("period") = 0.001, py::arg("filter_time") = 0.0003,
        "PID gains for a body by the damping optimum; period and input filter in seconds.");
    m.def("loop_gains", &loop_gains, py::arg("controller"), py::arg("mechanics"), py::arg("period") = 0.001,
          py::arg("filter_time") = 0.0003,
          "What the position loop runs on for a body, by name: gains of the PID [V/rad, V/(rad s), V s/rad] and of the "
          "observer (speed_observer.hpp); period and input filter in seconds.");
    bind_learned_range(m);
    bind_result(m);
    bind_signals(m);
}

}  // namespace twintrack::python
