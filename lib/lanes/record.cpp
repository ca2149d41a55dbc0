// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>

#include "lane_case.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::lanes {

using plant::BridgeMode;

std::vector<Signal> recordable_signals() {
    std::vector<Signal> all = bench::recorded_signals();
    for (const Signal& s : bench::IndependentSupervision::signals()) all.push_back(s);
    for (const Signal& s : bench::EngineLoop::signals()) all.push_back(s);
    return all;
}

std::vector<std::size_t> columns_of(const std::optional<bench::IndependentSupervision>& look, bool engine,
                                    const std::vector<std::string>& names) {
    if (names.empty()) return {};
    const std::vector<Signal> all = recordable_signals();
    const std::size_t always = bench::recorded_signals().size();
    std::vector<std::size_t> found;
    for (const std::string& name : names) {
        const auto at = std::find_if(all.begin(), all.end(), [&](const Signal& s) { return s.name == name; });
        if (at == all.end()) {
            std::string list;
            for (const Signal& s : all) list += (list.empty() ? "" : ", ") + s.name;
            throw InvalidParameter("signals", "there is no signal '" + name + "'; there are: " + list);
        }
        const auto place = static_cast<std::size_t>(at - all.begin());
        const bool beside = place >= always && place < always + bench::IndependentSupervision::signal_count;
        if (beside ? look && look->has(place - always) : place < always || engine) found.push_back(place);
    }
    return found;
}

std::vector<Signal> recorded_at(const std::vector<std::size_t>& columns) {
    if (columns.empty()) return {};
    const std::vector<Signal> all = recordable_signals();
    std::vector<Signal> some;
    for (const std::size_t k : columns) some.push_back(all[k]);
    return some;
}

double LaneCase::motor_voltage() const {
    const auto& motor = case_.bench.body.mechanics.motor;
    const double current = get(names_.state.x.current);
    if (wires_) {
        const auto& w = names_.wire;
        if (get(w.open) > 0.5 && current == 0.0) return motor.gear_ratio * motor.constant * get(names_.state.x.speed);
        const auto as = get(w.open) > 0.5 ? BridgeMode::high_impedance : BridgeMode::drive;
        return plant::motor_voltage<double>({get(w.voltage), get(w.resistance), get(w.limit), as}, current);
    }
    const auto mode = last_command().mode;
    if (mode == BridgeMode::high_impedance && current == 0.0)
        return motor.gear_ratio * motor.constant * get(names_.state.x.speed);
    const double battery = get(names_.schedule.battery);
    return plant::motor_voltage(plant::terminal(case_.bench.bridge, mode, get(names_.duty), battery), current);
}

/// In the order of recordable_signals().
double LaneCase::signal(std::size_t which) const {
    const auto volts = [&](const AssemblyFields<double>& a, std::size_t k) { return get(a.tracks[k].volts); };
    switch (which) {
        case 0:
            return get(names_.travel);
        case 1:
        case 2:
        case 3:
            return volts(names_.pedal, which - 1);
        case 4:
            return max(pedal_map_(get(names_.travel)), get(names_.engine.idle_before));
        case 5:
            return get(names_.demand);
        case 6:
            return get(names_.set_point);
        case 7:
            return get(names_.opening_read);
        case 8:
            return get(names_.opening);
        case 9:
            return get(names_.state.x.angle);
        case 10:
            return get(names_.state.x.speed);
        case 11:
        case 12:
        case 13:
            return volts(names_.throttle, which - 11);
        case 14:
            return get(names_.duty);
        case 15:
            return get(names_.state.x.current);
        case 16:
            return motor_voltage();
        case 17:
            return get(names_.supply);
        case 18:
            return static_cast<double>(reaction_);
        case 19:
            return 1.0;  // what may put the controller into reset or open its bridge is refused
        case 20:
            return 0.0;
        default:
            which -= 21;
            constexpr std::size_t beside = bench::IndependentSupervision::signal_count;
            return which < beside ? look_->value(which) : engine_signal(which - beside);
    }
}

void LaneCase::store() {
    if (signals_.empty() || tick() % record_every_ != 0) return;
    std::transform(signals_.begin(), signals_.end(), row_.begin(), [this](std::size_t k) { return signal(k); });
    record_.append(time(), row_);
}

}  // namespace twintrack::lanes
