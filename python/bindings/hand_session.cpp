// SPDX-License-Identifier: BSD-3-Clause
#include "hand_session.hpp"

#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/core/error.hpp"
#include "units.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

enum Argument { parameters, stroke, learned, faults, controller, monitor, brake, history };

Session session_of(const py::tuple& begun) {
    const auto at = [&](Argument a) { return py::handle(PyTuple_GET_ITEM(begun.ptr(), a)); };
    const auto unit = [&](Argument a) { return py::reinterpret_borrow<py::object>(at(a)); };
    const BenchParameters p = Given<BenchParameters>{at(parameters)}.get("parameters", a_bench);
    const Stroke foot = Given<Stroke>{at(stroke)}.get("stroke", a_stroke);
    SessionOptions options = options_of(Given<Learned>{at(learned)}, GivenFaults{at(faults)}, unit(controller),
                                        unit(monitor), GivenBrake{at(brake)}, GivenHistory{at(history)});
    check_length(p, foot.duration());
    check_faults(p, options.faults.faults(), options.brake.has_value(), {});
    return {p, foot, std::move(options)};
}

}  // namespace

HandSession::HandSession(py::tuple begun) : begun_(std::move(begun)), session_(session_of(begun_)) {}

HandSession::HandSession(const HandSession& other)
    : begun_(other.begun_), session_(other.session_.fork()), moves_(other.moves_), strikes_(other.strikes_) {}

void HandSession::hold_pedal(std::optional<double> travel) {
    session_.hold_pedal(travel);
    moves_.push_back({due(), travel ? Deed::pedal : Deed::stroke, travel.value_or(0.0)});
}

void HandSession::hold_brake(double braking) {
    session_.hold_brake(braking);
    moves_.push_back({due(), Deed::brake, braking});
}

void HandSession::inject(fault::Fault f) {
    session_.inject(f);
    strikes_.push_back({due(), true, std::move(f)});
}

void HandSession::remove(const std::string& where, const std::string& what) {
    session_.remove(where, what);
    strikes_.push_back({due(), false, {.where = where, .what = what}});
}

py::tuple HandSession::state() const {
    for (const Argument a : {controller, monitor})
        if (is_unit(begun_[a]))
            throw InvalidParameter(a == controller ? "controller" : "monitor",
                                   "a session with a unit that was given as it is cannot be pickled, since how the "
                                   "unit began is not known; give a factory (learned, bench, period) of it");
    if (!begun_[history].is_none())
        throw InvalidParameter("history", "a session with codes of earlier key cycles cannot be pickled");
    py::list moved, struck;
    for (const Move& m : moves_) moved.append(py::make_tuple(m.at, static_cast<int>(m.deed), m.value));
    for (const Strike& s : strikes_) struck.append(py::make_tuple(s.at, s.there, s.fault));
    return py::make_tuple(begun_, due(), session_.outcome().ok(), moved, struck);
}

void HandSession::run_to(std::int64_t at) {
    py::gil_scoped_release unlocked;
    while (due() < at && session_.outcome().ok()) session_.step();
}

void HandSession::make_again(const Move& m) {
    if (m.deed == Deed::brake)
        hold_brake(m.value);
    else
        hold_pedal(m.deed == Deed::pedal ? std::optional(m.value) : std::nullopt);
}

HandSession HandSession::again(const py::tuple& state) {
    HandSession s(state[0].cast<py::tuple>());
    const auto moved = state[3].cast<py::list>(), struck = state[4].cast<py::list>();
    std::size_t m = 0, k = 0;
    const auto next = [](const py::list& list, std::size_t i) {
        return i < list.size() ? py::tuple(list[i])[0].cast<std::int64_t>() : std::int64_t{-1};
    };
    while (m < moved.size() || k < struck.size()) {
        const std::int64_t move = next(moved, m), strike = next(struck, k);
        const bool moves = move >= 0 && (strike < 0 || move <= strike);
        s.run_to(moves ? move : strike);
        const py::tuple one = moves ? moved[m++] : struck[k++];
        if (moves)
            s.make_again({0, static_cast<Deed>(one[1].cast<int>()), one[2].cast<double>()});
        else if (one[1].cast<bool>())
            s.inject(one[2].cast<fault::Fault>());
        else
            s.remove(one[2].cast<const fault::Fault&>().where, one[2].cast<const fault::Fault&>().what);
    }
    s.run_to(state[1].cast<std::int64_t>());
    if (!state[2].cast<bool>()) s.session_.step();  // the tick that ended it
    return s;
}

}  // namespace twintrack::python
