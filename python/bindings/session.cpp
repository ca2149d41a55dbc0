// SPDX-License-Identifier: BSD-3-Clause
// A bench that is stepped by hand: with its controller, or the plant alone.
#include <cmath>

#include "hand_session.hpp"
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/control/shared_controller.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

/// `pedal`, `brake`: held from this tick on.
template <class T>
void hold(T& s, const py::object& pedal, const py::object& brake) {
    if (!pedal.is_none()) s.hold_pedal(number(pedal, "pedal"));
    if (!brake.is_none()) s.hold_brake(number(brake, "brake"));
}

Snapshot stepped(Session& s) {
    py::gil_scoped_release unlocked;
    return s.step();
}

template <class T>
fault::Fault fault_of(Given<T> given) {
    return given.get("fault", "a Fault");
}

constexpr const char* says_inject =
    "The fault is there from the tick that is due on, or from its own start when that is later. Raises "
    "InvalidParameter for one that cannot be, or cannot be beside those there are; then nothing has changed.";
constexpr const char* says_remove =
    "A fault of that place and kind is over from the tick that is due on; InvalidParameter when there is none.";

/// What sessions and plants have in common.
template <class T>
void bind_common(py::class_<T>& c) {
    c.def(
         "inject", [](T& s, Given<fault::Fault> f) { s.inject(fault_of(f)); }, py::arg("fault"), says_inject)
        .def(
            "remove", [](T& s, const std::string& where, const std::string& what) { s.remove(where, what); },
            py::arg("where"), py::arg("what"), says_remove)
        .def_property_readonly("faults", [](T& s) { return s.session().faults(); })
        .def_property_readonly(
            "snapshot", [](T& s) { return s.session().snapshot(); }, "A copy of the last tick's values.")
        .def_property_readonly(
            "time", [](T& s) { return seconds(s.session().time()); }, "[s] of the tick that is due.")
        .def_property_readonly(
            "record", [](T& s) { return s.session().record(); }, "A copy of what was recorded so far.")
        .def_property_readonly("outcome", [](T& s) { return s.session().outcome(); });
}

/// The signature that Python sees; the values are taken out of the tuple by HandSession.
HandSession hand_session(Given<BenchParameters> parameters, Given<Stroke> stroke, Given<Learned> learned,
                         GivenFaults faults, const py::object& controller, const py::object& monitor, GivenBrake brake,
                         GivenHistory history) {
    // A list of the caller's may change later.
    const py::object list = PyList_Check(faults.value.ptr()) ? faults.value.attr("copy")()
                                                             : py::reinterpret_borrow<py::object>(faults.value);
    return HandSession(py::make_tuple(parameters.value, stroke.value, learned.value, list, controller, monitor,
                                      brake.value, history.value));
}

void bind_hand_session(py::module_& m) {
    py::class_<HandSession> c(m, "Session", "One key-on of a bench, stepped tick by tick.");
    c.def(py::init(&hand_session), py::arg("parameters"), py::arg("stroke"), py::kw_only(),
          py::arg("learned") = py::none(), py::arg("faults") = std::vector<fault::Fault>{},
          py::arg("controller") = py::none(), py::arg("monitor") = py::none(), py::arg("brake") = py::none(),
          py::arg("history") = py::none())
        .def(
            "step",
            [](HandSession& s, const py::object& pedal, const py::object& brake) {
                hold(s, pedal, brake);
                return stepped(s.session());
            },
            py::kw_only(), py::arg("pedal") = py::none(), py::arg("brake") = py::none(),
            "Makes the tick that is due and integrates to the next; returns its Snapshot. `pedal` [share of travel] "
            "holds the foot there from now on, in place of the stroke; `brake` (0 … 1) likewise. Releases the "
            "interpreter lock.")
        .def(
            "release_pedal", [](HandSession& s) { s.hold_pedal({}); }, "The foot follows the stroke again.")
        .def(
            "fork", [](const HandSession& s) { return HandSession(s); },
            "A session that goes on from here by itself with the same bits; units written in Python are copied by "
            "copy.deepcopy.")
        .def(
            "save", [](const HandSession& s) { return HandSession(s); },
            "The session as it is now, to be given to restore(), as often as one likes.")
        .def(
            "restore", [](HandSession& s, const HandSession& saved) { s = HandSession(saved); }, py::arg("saved"),
            "Goes back to what save() gave.")
        .def_property_readonly("codes", [](const HandSession& s) { return s.session().codes(); })
        .def_property_readonly(
            "history", [](const HandSession& s) { return s.session().history(); },
            "Each code with state, count and freeze-frame.")
        .def(py::pickle([](const HandSession& s) { return s.state(); }, &HandSession::again));
    bind_common(c);
}

/// A bench without controller and monitor: the bridge is told by hand.
class Plant {
public:
    Plant(const BenchParameters& p, std::vector<fault::Fault> faults)
        : command_(std::make_shared<control::Command>()),
          session_(p, Stroke({0.0, 1.0}, {0.0, 0.0}),
                   {.faults = fault::Schedule(std::move(faults)), .controller = unit(), .monitored = false}) {}
    Plant(const Plant& other)
        : command_(std::make_shared<control::Command>(*other.command_)), session_(other.session_.fork(unit())) {}
    Plant& operator=(const Plant&) = delete;

    [[nodiscard]] control::Command& command() noexcept { return *command_; }
    [[nodiscard]] Session& session() noexcept { return session_; }
    void inject(fault::Fault f) { session_.inject(std::move(f)); }
    void remove(const std::string& where, const std::string& what) { session_.remove(where, what); }

private:
    [[nodiscard]] control::Unit unit() const {
        return [told = command_](const control::Input&) { return *told; };
    }

    std::shared_ptr<control::Command> command_;
    Session session_;
};

Snapshot step_plant(Plant& plant, const py::object& duty, const py::object& volts, const std::string& mode,
                    const py::object& pedal) {
    if (!duty.is_none() && !volts.is_none())
        throw InvalidParameter("duty", "is given, and so is volts; only one of them can be");
    control::Command command{.mode = enumerator<plant::BridgeMode>(py::str(mode), "mode")};
    if (!duty.is_none()) command.duty = number(duty, "duty");
    if (!volts.is_none()) command.duty = number(volts, "volts") / plant.session().snapshot().supply;
    if (!(std::fabs(command.duty) <= 1.0))
        throw InvalidParameter(volts.is_none() ? "duty" : "volts",
                               "makes a duty of " + std::to_string(command.duty) + "; allowed: -1 to 1");
    hold(plant.session(), pedal, py::none());
    plant.command() = command;
    return stepped(plant.session());
}

void bind_plant_by_hand(py::module_& m) {
    py::class_<Plant> c(m, "Plant",
                        "Pedal, wiring, converter, bridge and body of a bench, with nobody to control them: no "
                        "controller, no monitor, no learned range. A bridge that protects itself still does.");
    c.def(py::init([](Given<BenchParameters> parameters, GivenFaults faults) {
              const BenchParameters p = parameters.get("parameters", a_bench);
              std::vector<fault::Fault> list = faults.get("faults", "a list of Fault");
              check_faults(p, list, false, {});
              return Plant(p, std::move(list));
          }),
          py::arg("parameters"), py::kw_only(), py::arg("faults") = std::vector<fault::Fault>{})
        .def("step", &step_plant, py::arg("duty") = py::none(), py::kw_only(), py::arg("volts") = py::none(),
             py::arg("mode") = "drive", py::arg("pedal") = py::none(),
             "One control period under a duty (−1 … 1), or under bridge `volts` [V] as a duty of the supply measured "
             "at the last tick, or in another mode (\"brake\", \"high_impedance\"). Returns the Snapshot of the tick "
             "at its beginning: `input` is what a controller would have read, `motor_current` [A], `supply` [V].")
        .def(
            "fork", [](const Plant& p) { return Plant(p); }, "A plant that goes on from here by itself.");
    bind_common(c);
}

}  // namespace

void bind_shared_controller(py::module_& m) {
    py::class_<control::SharedController>(
        m, "SharedController",
        "A shared object with a controller written in C (twintrack/c/controller.h); goes wherever a controller, or the "
        "factory of one, does. Loading it runs its code.")
        .def(py::init<const std::string&>(), py::arg("path"),
             "Raises InvalidParameter when it does not load, lacks a function or is of another version.");
}

void bind_session(py::module_& m) {
    bind_shared_controller(m);
    bind_hand_session(m);
    bind_plant_by_hand(m);
    bind_made_units(m);
}

}  // namespace twintrack::python
