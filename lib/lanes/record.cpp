// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>

#include "lane_case.hpp"
#include "twintrack/bench/signals.hpp"
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

/// The lane at its tick, as the tables of bench/signals.hpp need it.
struct LaneCase::Values {
    const LaneCase& c;
    const LaneFields<double>& f = Block::names();

    [[nodiscard]] double pedal_travel() const noexcept { return c.get(f.travel); }
    [[nodiscard]] double pedal_volts(std::size_t k) const noexcept { return c.get(f.pedal.tracks[k].volts); }
    [[nodiscard]] double asked() const { return max(c.pedal_map_(c.get(f.travel)), c.get(f.engine.idle_before)); }
    [[nodiscard]] double demand() const noexcept { return c.get(f.demand); }
    [[nodiscard]] double set_point() const noexcept { return c.get(f.set_point); }
    [[nodiscard]] double opening() const noexcept { return c.get(f.opening_read); }
    [[nodiscard]] double blade_opening() const noexcept { return c.get(f.opening); }
    [[nodiscard]] double blade_angle() const noexcept { return c.get(f.state.x.angle); }
    [[nodiscard]] double blade_speed() const noexcept { return c.get(f.state.x.speed); }
    [[nodiscard]] double throttle_volts(std::size_t k) const noexcept { return c.get(f.throttle.tracks[k].volts); }
    [[nodiscard]] double duty() const noexcept { return c.get(f.duty); }
    [[nodiscard]] double motor_current() const noexcept { return c.get(f.state.x.current); }
    [[nodiscard]] double motor_voltage() const { return c.motor_voltage(); }
    [[nodiscard]] double supply() const noexcept { return c.get(f.supply); }
    [[nodiscard]] double reaction() const noexcept { return static_cast<double>(c.reaction_); }
    [[nodiscard]] double awake() const noexcept { return 1.0; }  // what may put the controller into reset is refused
    [[nodiscard]] double bridge_state() const noexcept { return 0.0; }  // what may open the bridge is refused
};

double LaneCase::signal(std::size_t which) const {
    constexpr auto& chain = bench::chain_signals<Values>;
    constexpr std::size_t beside = bench::IndependentSupervision::signal_count;
    if (which < chain.size()) return chain[which].value({*this});
    which -= chain.size();
    return which < beside ? look_->value(which) : engine_signal(which - beside);
}

void LaneCase::store() {
    if (signals_.empty() || tick() % record_every_ != 0) return;
    std::transform(signals_.begin(), signals_.end(), row_.begin(), [this](std::size_t k) { return signal(k); });
    record_.append(time(), row_);
}

}  // namespace twintrack::lanes
