// SPDX-License-Identifier: BSD-3-Clause
#include "controller_model.hpp"

#include <limits>
#include <stdexcept>

#include "twintrack/bench/engine_loop.hpp"
#include "twintrack/bench/units.hpp"

namespace twintrack::external {

namespace {

template <Named E>
std::vector<const char*> choices() {
    std::vector<const char*> all;
    for (const auto& [value, name] : names(Tag<E>{})) all.push_back(name);
    return all;
}

std::string entry(const char* name, std::size_t k) { return std::string(name) + "[" + std::to_string(k + 1) + "]"; }

}  // namespace

struct ControllerModel::Frozen : Inner {
    control::Unit unit;
    control::Command command;
    Time due;

    Frozen(control::Unit u, const control::Command& c, Time t) : unit(std::move(u)), command(c), due(t) {}
};

ControllerModel::ControllerModel(Document document) : Model(std::move(document)) {
    if (document_.learned) add_range(*document_.learned);
    add_readings();
    add_inputs();
    add_outputs();
}

void ControllerModel::add_range(control::LearnedRange& range) {
    const auto curves = [this](const std::string& side, std::vector<control::LearnedTrack>& tracks) {
        for (std::size_t k = 0; k < tracks.size(); ++k)
            for (std::size_t j = 0; j < control::curve_knots; ++j)
                add({"learned_range." + side + "[" + std::to_string(k + 1) + "," + std::to_string(j + 1) + "]",
                     Kind::number,
                     Role::parameter,
                     "",
                     "learned reading, share of converter full scale",
                     {0.0, 1.0}},
                    &tracks[k].curve[j]);
    };
    curves("pedal", range.pedal), curves("throttle", range.throttle);
    add({"learned_range.default_opening",
         Kind::number,
         Role::parameter,
         "",
         "where the unpowered blade stood, share of learned travel",
         {-0.1, 1.0}},
        &range.default_opening);
}

void ControllerModel::add_readings() {
    const char* share = "reading, share of converter full scale";
    const char* volts = "at the reference pin of the track";
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        add({entry("input.pedal", k), Kind::number, Role::input, "", share}, &seen_.pedal[k]);
        add({entry("input.throttle", k), Kind::number, Role::input, "", share}, &seen_.throttle[k]);
        add({entry("input.pedal_reference", k), Kind::number, Role::input, "V", volts}, &seen_.pedal_reference[k]);
        add({entry("input.throttle_reference", k), Kind::number, Role::input, "V", volts},
            &seen_.throttle_reference[k]);
        add({entry("input.pedal_trust", k), Kind::flag, Role::input, "", "the track may be believed"},
            &seen_.pedal_trust[k]);
        add({entry("input.throttle_trust", k), Kind::flag, Role::input, "", "the track may be believed"},
            &seen_.throttle_trust[k]);
    }
}

void ControllerModel::add_inputs() {
    seen_.supply = document_.bench.controller.nominal_supply;
    const auto number = [this](const char* name, const char* unit, const char* meaning, double& at) {
        add({name, Kind::number, Role::input, unit, meaning}, &at);
    };
    const auto flag = [this](const char* name, const char* meaning, bool& at) {
        add({name, Kind::flag, Role::input, "", meaning}, &at);
    };
    number("input.time", "s", "since the controller booted; below 0: the time of the tick", time_);
    number("input.supply", "V", "measured", seen_.supply);
    number("input.motor_current", "A", "measured by the bridge", seen_.motor_current);
    number("input.idle_opening", "", "opening that idling asks for, share of travel", seen_.idle_opening);
    number("input.air_flow", "kg/s", "measured; 0 without an air meter", seen_.air_flow);
    number("input.brake", "", "reading of the brake's sensor, share of full scale", seen_.brake);
    number("input.demand_limit", "", "the demand must not exceed it, share of travel", seen_.demand_limit);
    number("input.demand_slope", "1/s", "nor rise faster; 0: as fast as it likes", seen_.demand_slope);
    flag("input.motor_permitted", "false: the monitor wants the motor without power", seen_.motor_permitted);
    flag("input.key_on", "the key is on", seen_.key_on);
    flag("input.engine_still", "the engine does not turn", seen_.engine_still);
    flag("input.brake_applied", "the driver brakes", seen_.brake_applied);
    flag("input.brake_hard", "the driver brakes hard", seen_.brake_hard);
    flag("input.lowest_track", "of the pedal's tracks the lowest counts", seen_.lowest_track);
    add({"input.idle_contact",
         Kind::choice,
         Role::input,
         "",
         "the pedal's idle switch",
         {},
         {"absent", "foot off", "foot on"}},
        &contact_);
    add({"input.bridge_state",
         Kind::choice,
         Role::input,
         "",
         "what the bridge reports",
         {},
         choices<plant::BridgeState>()},
        &bridge_state_);
    add({"input.bridge_fault",
         Kind::choice,
         Role::input,
         "",
         "what the bridge reports",
         {},
         choices<plant::BridgeFault>()},
        &bridge_fault_);
    flag("input.bridge_derated", "the bridge limits the current", seen_.bridge.derated);
    flag("input.engine_running", "the engine burns by itself", seen_.engine.running);
    number("input.engine_speed", "rad/s", "measured", seen_.engine.speed);
    number("input.engine_coolant", "degC", "measured", seen_.engine.coolant);
    number("input.idle_goal", "rad/s", "speed that the coolant asks of the idle", seen_.engine.idle_goal);
    number("input.idle_authority", "", "share of the governor's air that is left", seen_.engine.idle_authority);
}

void ControllerModel::add_outputs() {
    const auto number = [this](const char* name, const char* meaning) {
        add_output({name, Kind::number, Role::output, "", meaning});
    };
    number("command.duty", "of the bridge, opening positive");
    add_output({"command.mode", Kind::choice, Role::output, "", "of the bridge", {}, choices<plant::BridgeMode>()});
    number("command.pedal", "pedal position it believes, share of learned travel");
    number("command.demand", "opening the foot asks for, share of learned travel");
    number("command.set_point", "opening the loop is told to reach, share of learned travel");
    number("command.opening", "opening it believes, share of learned travel");
    add_output({"command.self_test",
                Kind::choice,
                Role::output,
                "",
                "test of default position and springs",
                {},
                choices<control::SelfTest>()});
}

void ControllerModel::begin() {
    unit_ = bench::built_in_controller(learned(), bench::with_engine(document_.bench));
    command_ = {};
    due_ = Time{};
}

void ControllerModel::tick() {
    control::Input in = seen_;
    in.time = time_ < 0.0 ? due_ : from_seconds(time_);
    in.idle_contact = static_cast<control::IdleContact>(contact_);
    in.bridge.state = static_cast<plant::BridgeState>(bridge_state_);
    in.bridge.fault = static_cast<plant::BridgeFault>(bridge_fault_);
    command_ = unit_(in);
    due_ += period();
    if (const auto wrong = control::unusable(command_)) throw std::runtime_error(*wrong);
}

void ControllerModel::look(std::vector<double>& numbers, std::vector<std::string>&) {
    const control::Command& c = command_;
    numbers = {c.duty,    static_cast<double>(static_cast<int>(c.mode)),     c.pedal, c.demand, c.set_point,
               c.opening, static_cast<double>(static_cast<int>(c.self_test))};
}

std::shared_ptr<const Model::Inner> ControllerModel::save_inner() const {
    return std::make_shared<Frozen>(unit_, command_, due_);
}

void ControllerModel::restore_inner(const Inner& inner) {
    const Frozen& frozen = dynamic_cast<const Frozen&>(inner);
    unit_ = frozen.unit;
    command_ = frozen.command;
    due_ = frozen.due;
}

}  // namespace twintrack::external
