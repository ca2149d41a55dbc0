// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/meter.hpp"

#include <algorithm>
#include <limits>

#include "tracks.hpp"
#include "twintrack/bench/faulted_body.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/fault/wiring_faults.hpp"
#include "twintrack/wiring/edit.hpp"
#include "twintrack/wiring/harness.hpp"
#include "twintrack/wiring/ohmmeter.hpp"
#include "twintrack/wiring/reduction.hpp"
#include "twintrack/wiring/solver.hpp"
#include "twintrack/wiring/wire.hpp"

namespace twintrack::bench {

namespace {

const std::vector<std::string> leads = {"motor +", "motor -"};

wiring::Netlist wired_net(const BenchParameters& p, const fault::Schedule& faults) {
    if (p.wiring.kind == WiringKind::ideal)
        throw InvalidParameter("wiring.kind", "a meter needs the wiring 'harness'; this bench has 'ideal'");
    wiring::Netlist net =
        wiring::harness_net(p.pedal, p.body, p.bridge, p.wiring.harness, pin_out(p.wiring, p.pedal, p.body));
    const auto terminals = wiring::terminals(p.pedal, p.body);
    for (const fault::Fault& f : fault::contact_by_contact(faults.wiring(), terminals))
        net = wiring::apply(net, fault::edit_of(f));
    return net;
}

/// The last instant of the faults: all have grown, none has ended.
fault::Effects settled(std::vector<fault::Fault> faults) {
    for (fault::Fault& f : faults) f.from = Time{0}, f.to.reset(), f.ramp = Time{0}, f.every = Time{0};
    return fault::Schedule(std::move(faults)).effects(Time{0});
}

double winding(const BenchParameters& p, const fault::Effects& e) {
    const plant::MotorParameters& motor = p.body.mechanics.motor;
    return motor.resistance * wiring::copper_factor(clamp(motor.temperature + e.heat, -60.0, 250.0));
}

/// Sliding down from the open stop, the blade stops where the springs no longer overcome its friction.
double released(const plant::BodyMechanics& body) {
    constexpr int steps = 2000;
    const plant::SpringCoefficients<double> springs = plant::spring_coefficients(body.springs);
    const double closed = body.stops.closed_angle, open = body.stops.open_angle;
    for (int k = 0; k < steps; ++k) {
        const double angle = open + (closed - open) * k / steps;
        if (-plant::spring_torque(springs, angle) <= body.friction.coulomb) return angle;
    }
    return closed;
}

/// [share of travel] as the tracks count it.
double position(const BenchParameters& p, const fault::Effects& e, BladePose pose) {
    const plant::StopParameters& own = p.body.mechanics.stops;
    const Stops stops = shifted_stops(p.body.mechanics, e);
    const double angle = pose == BladePose::closed ? stops.closed
                         : pose == BladePose::open ? stops.open
                                                   : released(faulted_mechanics(p.body.mechanics, e, stops));
    return clamp((angle - own.closed_angle) / (own.open_angle - own.closed_angle), 0.0, 1.0);
}

/// Outputs of an assembly's tracks, first at rest.
void add_ratios(std::vector<double>& all, const std::vector<sensing::TrackParameters>& tracks,
                const std::array<sensing::TrackEffect, sensing::max_tracks>& effects, double rest, double now, int seed,
                std::uint32_t channel) {
    for (std::size_t k = 0; k < tracks.size(); ++k) {
        sensing::Track track(tracks[k]);
        track.lay(sensing::grains_of(seed, channel + static_cast<std::uint32_t>(k)));
        track.read(rest);
        all.push_back(track.read(now, effects[k]));
    }
}

/// Of the tracks, then of the two legs.
std::vector<double> ratios(const BenchParameters& p, const fault::Effects& e, const Stand& stand) {
    require(stand.foot, {0.0, 1.0}, "foot", "", "share of the pedal's travel");
    std::vector<double> all;
    add_ratios(all, p.pedal.tracks, e.pedal, 0.0, stand.foot, p.seed, sensing::channels::pedal_noise);
    add_ratios(all, p.body.tracks, e.throttle, position(p, e, BladePose::released), position(p, e, stand.blade), p.seed,
               sensing::channels::throttle_noise);
    all.insert(all.end(), {0.0, 0.0});
    return all;
}

void take_leads_off(wiring::Netlist& net, double winding_ohms) {
    for (const std::string& lead : leads) {
        const wiring::Node pin = net.at("pin " + lead), free = net.node("lead " + lead);
        for (wiring::Resistor& r : net.resistors)
            if (r.name.starts_with("wire ") && r.b == pin) r.b = free;
        net.resistors.push_back({"insulation lead " + lead, free, 0, 1e12});
    }
    for (wiring::RatioSource& source : net.ratio_sources)
        if (source.name.starts_with("leg ")) source.resistance = wiring::HarnessLaw::open_leg;
    net.resistors.push_back({"winding", net.at("motor +"), net.at("motor -"), winding_ohms});
}

void set_references(wiring::Netlist& net, double volts) {
    net = wiring::set_voltage(std::move(net), "internal supply", volts);
    for (wiring::Regulator& r : net.regulators) r.voltage = volts;
}

/// What is left of the reference at the supply [V] that the controller gets.
double reference_left(const BenchParameters& p, const fault::Effects& e, double supply) {
    const double nominal = p.reference * e.reference;
    if (!p.power.enabled) return nominal;
    return supply < p.power.reset_voltage ? 0.0 : std::min(nominal, supply - p.power.drop_out);
}

/// Everything but where foot and blade are.
wiring::Netlist powered_net(const BenchParameters& p, const fault::Schedule& faults, const fault::Effects& e) {
    wiring::Netlist net = wired_net(p, faults);
    take_leads_off(net, winding(p, e));
    net = wiring::set_voltage(std::move(net), "battery", p.supply * e.supply);
    set_references(net, p.reference * e.reference);
    return net;
}

}  // namespace

std::vector<std::string> meter_points(const BenchParameters& p) {
    std::vector<std::string> all;
    for (const sensing::Terminal& t : wiring::terminals(p.pedal, p.body)) all.push_back(t.name);
    for (const std::string& pin : wiring::controller_pins(p.pedal, p.body)) all.push_back("pin " + pin);
    for (const std::string& lead : leads) all.push_back("lead " + lead);
    for (const char* name : {"battery", "controller supply", "controller ground"}) all.emplace_back(name);
    return all;
}

wiring::Netlist standing_net(const BenchParameters& p, const std::vector<fault::Fault>& faults, const Stand& stand) {
    const fault::Effects e = settled(faults);
    wiring::Netlist net = powered_net(p, fault::Schedule(faults), e);
    const std::vector<double> all = ratios(p, e, stand);
    for (std::size_t k = 0; k < all.size(); ++k) net.ratio_sources[k].ratio = all[k];
    const wiring::Solution found = wiring::solve(net);
    if (!found.ok()) return net;
    const auto at = [&](const char* node) { return found.voltages[static_cast<std::size_t>(net.at(node))]; };
    set_references(net, reference_left(p, e, at("controller supply") - at("controller ground")));
    return net;
}

std::vector<double> standing_volts(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                   const std::vector<Stand>& stands) {
    const fault::Effects e = settled(faults);
    const wiring::Netlist net = powered_net(p, fault::Schedule(faults), e);
    wiring::Ports ports{{{"internal supply"}}, {}};
    for (const wiring::Regulator& r : net.regulators) ports.inputs[0].push_back(r.name);
    for (const std::string& name : meter_points(p)) ports.probes.push_back({net.at(name), 0});
    const std::size_t points = ports.probes.size();  // the supply and the ground of the controller are the last two
    wiring::ReducedNet reduced(net, ports);
    std::vector<double> volts;
    for (const Stand& stand : stands) {
        const std::vector<double> all = ratios(p, e, stand);
        double fed = p.reference * e.reference;
        wiring::NetStatus status = reduced.evaluate({&fed, 1}, all);
        if (status == wiring::NetStatus::ok) {
            fed = reference_left(p, e, reduced.probes()[points - 2] - reduced.probes()[points - 1]);
            status = reduced.evaluate({&fed, 1}, all);
        }
        const bool ok = status == wiring::NetStatus::ok;
        for (std::size_t k = 0; k < points; ++k)
            volts.push_back(ok ? reduced.probes()[k] : std::numeric_limits<double>::quiet_NaN());
    }
    return volts;
}

wiring::Netlist unplugged_net(const BenchParameters& p, const std::vector<fault::Fault>& faults, bool motor) {
    std::vector<fault::Fault> lasting = faults;
    std::erase_if(lasting, [](const fault::Fault& f) { return f.what == "unplugged"; });  // as all are here
    const wiring::Netlist wired = wired_net(p, fault::Schedule(lasting));
    const auto of_harness = [](const wiring::Resistor& r) {
        const bool fault = r.name.find(" to ") != std::string::npos;  // as connect() names what it adds
        return fault || r.name.starts_with("wire ") || r.name.ends_with(" wire") || r.name.starts_with("insulation ");
    };
    wiring::Netlist net;
    net.nodes = wired.nodes;
    std::copy_if(wired.resistors.begin(), wired.resistors.end(), std::back_inserter(net.resistors), of_harness);
    net.resistors.push_back({"ground point", net.at("ground point"), 0, 0.0});
    take_leads_off(net, motor ? winding(p, settled(faults)) : 1e12);
    return net;
}

std::vector<double> unplugged_ohms(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                   const std::vector<std::pair<std::string, std::string>>& pairs, bool motor) {
    const wiring::Netlist net = unplugged_net(p, faults, motor);
    std::vector<std::pair<wiring::Node, wiring::Node>> nodes;
    for (const auto& [a, b] : pairs) nodes.emplace_back(net.at(a), net.at(b));
    return wiring::ohms(net, nodes);
}

}  // namespace twintrack::bench
