// SPDX-License-Identifier: BSD-3-Clause
#include "fmi3.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::fmu {

void Instance3::enter_events() {
    if (!events_) throw InvalidParameter("fmi3EnterEventMode", "the FMU was instantiated without event mode");
    active_ = due_;
}

void Instance3::make_tick() {
    if (due_) model().advance(model().time());
    due_ = active_ = false;
}

void Instance3::step_to_event(double time, double size, bool& event, bool& early, double& reached) {
    make_tick();  // of an importer that has passed over the event
    if (!events_) {
        step(time, size);
    } else {
        const double tick = start() + seconds(model().due());
        early = early_ && tick < time + size - 0.5e-6;
        step(time, early ? tick - time : size, true);
        event = due_ = model().due() <= model().time();
    }
    reached = early ? start() + seconds(model().time()) : time + size;
}

double Instance3::number_or_time(Reference r) {
    if (r == model().variables().size() + 1) return start() + seconds(model().time());
    return number(r, Kind::number);
}

bool Instance3::clock(Reference r) {
    if (r != model().variables().size()) throw InvalidParameter("valueReference", "is no clock");
    const bool ticks = active_;
    active_ = false;
    return ticks;
}

}  // namespace twintrack::fmu
