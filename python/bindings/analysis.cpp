// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/analysis/linearise.hpp"
#include "twintrack/analysis/prediction.hpp"
#include "twintrack/core/error.hpp"

#include "fields.hpp"

namespace twintrack::python {

namespace {

using Array = py::array_t<double>;

Array matrix(const std::vector<double>& values, std::size_t rows, std::size_t columns) {
    return Array({static_cast<py::ssize_t>(rows), static_cast<py::ssize_t>(columns)}, values.data());
}

py::tuple matrices(const analysis::LinearModel& m) {
    return py::make_tuple(matrix(m.a, m.states, m.states), matrix(m.b, m.states, m.inputs),
                          matrix(m.c, m.outputs, m.states), matrix(m.d, m.outputs, m.inputs));
}

py::dict linear_plant(const plant::BodyMechanics& body, const plant::BridgeParameters& bridge, double angle,
                      const std::string& motion, double speed, double supply, bool ideal) {
    const analysis::OperatingPoint at{angle, enumerator<analysis::Motion>(py::str(motion), "motion"), speed, supply};
    const analysis::LinearPlant p = analysis::linearise(body, bridge, at, ideal);
    py::dict out;
    out["matrices"] = matrices(p.model);
    out["duty"] = p.duty;
    out["state"] = py::make_tuple(p.state.current, p.state.angle, p.state.speed, p.state.bristle);
    return out;
}

py::tuple linear_loop(const control::ControllerParameters& p, const plant::BodyMechanics& body, double opening,
                      double hold, double speed, double period, double filter_time, bool integral) {
    const control::Controller controller(p, body, {}, from_seconds(period), filter_time, 12);
    return matrices(analysis::linearise(controller.loop(), opening, hold, speed, integral));
}

using Samples = py::array_t<double, py::array::c_style | py::array::forcecast>;

std::span<const double> view(const Samples& a, const char* name) {
    if (a.ndim() != 1) throw InvalidParameter(name, "must have one dimension");
    return {a.data(), static_cast<std::size_t>(a.size())};
}

py::tuple sampled(const Samples& a, const Samples& b, double period) {
    if (a.ndim() != 2 || b.ndim() != 2 || a.shape(0) != a.shape(1) || a.shape(0) != b.shape(0))
        throw InvalidParameter("a", "must be square, with as many rows as b");
    analysis::LinearModel m;
    m.states = static_cast<std::size_t>(a.shape(0)), m.inputs = static_cast<std::size_t>(b.shape(1));
    m.a.assign(a.data(), a.data() + a.size()), m.b.assign(b.data(), b.data() + b.size());
    const analysis::LinearModel held = analysis::sampled(m, period);
    return py::make_tuple(matrix(held.a, held.states, held.states), matrix(held.b, held.states, held.inputs));
}

py::dict predict(const plant::BodyMechanics& body, const Samples& voltage, double period, double resistance,
                 double substep, const py::dict& log, const std::vector<std::string>& by, const Samples& angle,
                 double angle_gain, double speed_gain) {
    const analysis::Excitation excitation{view(voltage, "voltage"), resistance, period, substep};
    const analysis::Leading leading{view(angle, "angle"), angle_gain, speed_gain};
    analysis::LogValues values;
    for (const auto& [key, value] : log) {
        const auto name = py::cast<std::string>(key);
        double* const target = name == "start_angle"      ? &values.start_angle
                               : name == "angle_delay"    ? &values.angle_delay
                               : name == "current_delay"  ? &values.current_delay
                               : name == "current_offset" ? &values.current_offset
                                                          : nullptr;
        if (target == nullptr) throw InvalidParameter("log", "knows no '" + name + "'");
        *target = py::cast<double>(value);
    }
    const analysis::Prediction p = [&] {
        py::gil_scoped_release unlocked;
        return analysis::predict(body, values, excitation, leading, by);
    }();
    const std::size_t n = p.angle.size();
    py::dict out;
    out["current"] = Array(static_cast<py::ssize_t>(n), p.current.data());
    out["angle"] = Array(static_cast<py::ssize_t>(n), p.angle.data());
    out["by_current"] = matrix(p.by_current, n, by.size());
    out["by_angle"] = matrix(p.by_angle, n, by.size());
    return out;
}

py::tuple test_stand(const plant::BodyMechanics& body, const Samples& voltage, double period, double resistance) {
    const analysis::Excitation excitation{view(voltage, "voltage"), resistance, period};
    const analysis::Prediction p = [&] {
        py::gil_scoped_release unlocked;
        return analysis::on_test_stand(body, excitation);
    }();
    const auto n = static_cast<py::ssize_t>(p.angle.size());
    return py::make_tuple(Array(n, p.current.data()), Array(n, p.angle.data()));
}

void bind_prediction(py::module_& m) {
    m.def("sampled_matrices", &sampled, py::arg("a"), py::arg("b"), py::arg("period"),
          "(A, B) of a linear model with its inputs held over each period [s].");
    m.def(
        "log_unknowns",
        [] {
            py::list out;
            for (const analysis::Unknown& u : analysis::unknowns())
                out.append(py::make_tuple(u.name, u.unit, u.meaning));
            return out;
        },
        "(name, unit, meaning) of all that `predict_log` can differentiate by.");
    m.def("predict_log", &predict, py::arg("mechanics"), py::arg("voltage"), py::kw_only(), py::arg("period") = 1e-3,
          py::arg("resistance") = 0.0, py::arg("substep") = 2e-4, py::arg("log") = py::dict(),
          py::arg("by") = std::vector<std::string>{}, py::arg("angle") = Samples(0), py::arg("angle_gain") = 0.0,
          py::arg("speed_gain") = 0.0,
          "Current [A] and angle [rad] of a body under the voltages [V] of a log, of shape (samples,), and their "
          "derivatives by the unknowns in `by`, of shape (samples, unknowns), integrated with the state on dual "
          "numbers. `log`: start_angle, angle_delay, current_delay, current_offset. `angle` leads the prediction with "
          "the gains. Releases the interpreter lock. Raises InvalidParameter.");
    m.def("on_test_stand", &test_stand, py::arg("mechanics"), py::arg("voltage"), py::kw_only(),
          py::arg("period") = 1e-3, py::arg("resistance") = 0.0,
          "(current [A], angle [rad]) of a body under given voltages [V], each held for a period, in the exact solver "
          "from rest at the default position. Releases the interpreter lock.");
}

}  // namespace

void bind_analysis(py::module_& m) {
    bind_prediction(m);
    m.def("linear_plant", &linear_plant, py::arg("mechanics"), py::arg("bridge"), py::kw_only(), py::arg("angle"),
          py::arg("motion"), py::arg("speed") = 1.0, py::arg("supply") = 13.5, py::arg("ideal") = false,
          "Matrices (A, B, C, D) of the body about a point, by dual numbers through its laws, with the duty and the "
          "state (current, angle, speed, bristle) there; named and with units in `twintrack.linear`.");
    m.def("linear_loop", &linear_loop, py::arg("controller"), py::arg("mechanics"), py::kw_only(), py::arg("opening"),
          py::arg("hold"), py::arg("speed") = 0.0, py::arg("period") = 0.001, py::arg("filter_time") = 0.0003,
          py::arg("integral") = true,
          "Matrices (A, B, C, D) of the position controller from tick to tick, at an opening [share of travel] "
          "under `hold` [V], the set point moving with `speed` [rad/s]; named and with units in `twintrack.linear`.");
}

}  // namespace twintrack::python
