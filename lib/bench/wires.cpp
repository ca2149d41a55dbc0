// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/wires.hpp"
#include "twintrack/core/error.hpp"

#include <algorithm>

namespace twintrack::bench {

using fault::Fault;

namespace {

bool lifts(const Fault& f) { return f.what == "ground_offset" || f.what == "regulator_offset"; }

/// Growth, start and end act through a resistor; an offset grows by itself.
bool as_port(const Fault& f) { return f.every > Time{0} || (f.ramp > Time{0} && !lifts(f)); }

bool lifts_slowly(const Fault& f, Time now) { return lifts(f) && now - f.from < f.ramp; }

}  // namespace

Wires::Wires(const BenchParameters& p, const fault::Schedule& faults, Time period)
    : p_(p),
      period_(period),
      faults_(fault::contact_by_contact(faults.wiring(), wiring::terminals(p.pedal, p.body))),
      in_force_(faults_.size(), false) {
    if (p.wiring.kind == WiringKind::ideal) {
        if (!faults_.empty())
            throw InvalidParameter("faults",
                                   fault::sentence(faults_[0]) + ": a fault of the wiring needs the wiring 'harness'");
        return;
    }
    harness_.emplace(p.pedal, p.body, p.bridge, p.wiring.harness, pin_out(p.wiring, p.pedal, p.body));
    check_names(p.pedal, p.body);
    for (const Fault& f : faults_) (void)edit(f.from);  // refuses what cannot be together
    ports_.clear();
    moving_ = false;
}

void Wires::check_names(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body) const {
    std::vector<std::string> known;
    for (const sensing::Terminal& t : wiring::terminals(pedal, body)) known.push_back(t.name);
    for (const Fault& f : faults_) {
        std::vector<std::string> places = known;
        if (lifts(f)) places.clear();
        if (f.what == "regulator_voltage") places.clear();
        if (f.what == "regulator_offset" || f.what == "regulator_voltage")
            places = {"pedal regulator", "throttle regulator"};
        if (f.what == "ground_offset" || f.what == "open" || f.what == "series")
            places.emplace_back("controller ground");
        if (f.what == "open" || f.what == "series") places.emplace_back("controller supply");
        for (const std::string& name : {f.where, f.with}) {
            if (name.empty() || std::find(places.begin(), places.end(), name) != places.end()) continue;
            std::string list;
            for (const std::string& place : places) list += (list.empty() ? "" : ", ") + place;
            throw InvalidParameter("faults", fault::sentence(f) + ": there is no '" + name + "'; there are: " + list);
        }
    }
}

/// An intermittent one counts for a tick longer, because of the input filters' memory.
bool Wires::active(std::size_t k, Time now) const {
    const Fault& f = faults_[k];
    return now >= f.from && (!f.to || now < *f.to + (f.every > Time{0} ? period_ : Time{0}));
}

/// The net with the faults of that instant; those that move become ports.
wiring::Netlist Wires::edit(Time now) {
    wiring::Netlist net = harness_->healthy();
    ports_.clear();
    moving_ = false;
    for (std::size_t k = 0; k < faults_.size(); ++k) {
        if (!active(k, now) || as_port(faults_[k])) continue;
        wiring::WiringFault fault = fault::edit_of(faults_[k]);
        if (lifts_slowly(faults_[k], now)) fault.amount *= fault::grown(faults_[k], now);
        net = wiring::apply(net, fault);
    }
    for (std::size_t k = 0; k < faults_.size(); ++k) {
        if (!active(k, now) || !as_port(faults_[k])) continue;
        wiring::PortFault law = wiring::apply_as_port(net, fault::edit_of(faults_[k]));
        net = std::move(law.net);
        moving_ = moving_ || faults_[k].every > Time{0};
        ports_.push_back({faults_[k],
                          {faults_[k], static_cast<std::uint32_t>(p_.seed), static_cast<std::uint32_t>(p_.case_number),
                           sensing::channels::contacts + static_cast<std::uint32_t>(k)},
                          std::move(law),
                          0.0});
    }
    return net;
}

void Wires::tick(Time now) {
    bool changed = false;
    for (std::size_t k = 0; k < faults_.size(); ++k) {
        const bool there = active(k, now);
        changed = changed || there != in_force_[k] || (there && lifts_slowly(faults_[k], now - period_));
        in_force_[k] = there;
    }
    if (changed) harness_->rewire(edit(now));
    at(now);
}

const std::vector<Time>& Wires::instants(Time begin, Time end) {
    instants_.clear();
    for (const Port& port : ports_) port.times.changes(begin, end, instants_);
    std::sort(instants_.begin(), instants_.end());
    instants_.push_back(end);
    return instants_;
}

void Wires::at(Time instant) {
    for (Port& port : ports_) {
        const double share = port.times.there(instant) ? fault::grown(port.fault, instant) : 0.0;
        const double ohms = port.law.resistance(share);
        if (ohms == port.ohms) continue;
        harness_->set_resistance(port.law.resistor, ohms);
        port.ohms = ohms;
    }
}

wiring::HarnessOutput Wires::read(const wiring::HarnessInput& in) {
    if (harness_) return harness_->read(in);
    wiring::HarnessOutput out;
    out.ends = wiring::ideal({in.reference, in.pedal, in.throttle, {}});
    out.pedal_reference.fill(in.reference);
    out.throttle_reference.fill(in.reference);
    out.motor_current = in.motor_current;
    out.supply = in.supply - p_.bridge.supply_resistance * in.duty * in.motor_current;
    return out;
}

plant::LegCurrents Wires::legs(double motor_current) const {
    return harness_ ? harness_->legs() : plant::LegCurrents{motor_current, -motor_current, motor_current};
}

plant::BridgeFault Wires::off_state(const wiring::HarnessInput& in) {
    const bool faulty =
        !p_.wiring.pin_out.empty() || std::find(in_force_.begin(), in_force_.end(), true) != in_force_.end();
    return harness_ && faulty ? harness_->off_state(in) : plant::BridgeFault::none;
}

plant::Terminal<double> Wires::drive(const wiring::HarnessInput& in) {
    return harness_ ? harness_->drive(in) : plant::terminal(p_.bridge, in.mode, in.duty, in.supply);
}

}  // namespace twintrack::bench
