// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/electronics.hpp"

#include <algorithm>

namespace twintrack::bench {

using plant::BridgeMode;

namespace {

constexpr double no_current = 0.02;   // [A] of an undriven motor
constexpr double at_rest = 0.2;       // [V] of back-EMF up to which the open bridge can be tested
constexpr double least_share = 0.01;  // of the current limit: what remains must stay a number to divide by

plant::HeatState described(const BenchParameters& p) {
    return {p.body.mechanics.motor.temperature, p.body.mechanics.motor.temperature};
}

}  // namespace

Electronics::Electronics(const BenchParameters& p, Time period)
    : p_(p),
      period_(period),
      power_(p.power, period),
      guard_(p.guard, p.bridge, period),
      heat_(described(p)),
      believed_(heat_) {}

void Electronics::sample(Wires& wires, const wiring::HarnessInput& sources, Snapshot& now) {
    power_.step(now.supply, now.input.key_on);
    if (power_.booted()) guard_.reset();
    const bool open = now.command.mode == BridgeMode::high_impedance;
    guard_.tick(now.supply, now.body.current, !open);
    const auto& motor = p_.body.mechanics.motor;
    const double back = motor.gear_ratio * motor.constant * now.body.speed;
    if (open && abs(now.body.current) < no_current && abs(back) < at_rest) guard_.off_state(wires.off_state(sources));
    if (warms()) estimate(now.input.motor_current);
    now.awake = power_.awake();
    now.input.bridge = {guard_.state(), guard_.fault(), share() < 1.0};
}

/// The controller uses the motor as described, and the current that it measures.
void Electronics::estimate(double current) noexcept {
    const double ohms =
        plant::motor_coefficients(plant::at_temperature(p_.body.mechanics.motor, *p_.body.thermal, believed_))
            .resistance;
    const double h = seconds(period_);
    believed_ = plant::warmed(*p_.body.thermal, believed_, ohms * current * current * h, 0.0, h);
}

double Electronics::share() const noexcept {
    const double bridge = p_.guard.enabled ? guard_.share() : 1.0;
    return warms() ? min(bridge, plant::current_share(*p_.body.thermal, believed_.winding)) : bridge;
}

plant::Terminal<double> Electronics::drive(Wires& wires, wiring::HarnessInput& sources) {
    plant::Terminal<double> seen = wires.drive(sources);
    if (sources.mode != BridgeMode::drive) return seen;
    if (guard_.trips(wires.legs(sources.motor_current), sources.duty)) {
        sources.mode = BridgeMode::high_impedance;
        sources.duty = 0.0;
        return wires.drive(sources);
    }
    if (const double left = share(); left < 1.0) seen.current_limit *= max(left, least_share);
    return seen;
}

plant::BodyMechanics Electronics::warm(plant::BodyMechanics body) const {
    if (warms()) body.motor = plant::at_temperature(body.motor, *p_.body.thermal, heat_);
    return body;
}

void Electronics::heat(const EnergyLedger& e) noexcept {
    heat_ = plant::warmed(*p_.body.thermal, heat_, e.copper, e.brushes + e.friction + e.stops, seconds(period_));
}

std::vector<Signal> Electronics::signals() const {
    if (!warms()) return {};
    return {{"winding.temperature", "degC"}, {"housing.temperature", "degC"}};
}

void Electronics::append(std::vector<double>& row) const {
    if (warms()) row.insert(row.end(), {heat_.winding, heat_.housing});
}

}  // namespace twintrack::bench
