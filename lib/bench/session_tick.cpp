// SPDX-License-Identifier: BSD-3-Clause
#include "session_implementation.hpp"
#include "twintrack/bench/session.hpp"

namespace twintrack::bench {

using plant::BridgeMode;

const Snapshot& Session::Implementation::tick(bool integrate) {
    sense_tick();
    if (outcome_.ok() && stage_ == Stage::sensed) make();
    if (outcome_.ok() && integrate) advance();
    return now_;
}

const Snapshot& Session::Implementation::sense_tick() {
    if (outcome_.ok() && stage_ == Stage::due) begin();
    return now_;
}

void Session::Implementation::begin() {
    now_.time = outcome_.when = due_;
    apply_faults();
    sense();
    if (!inputs_.sample(wires_, sources_, ticks_, now_)) {
        outcome_ = {Status::numerical_failure, due_, "the equations of the wiring have no answer"};
        return;
    }
    now_.input.key_on = key_on();
    now_.input.engine_still = !(engine_turns_ && due_ >= *engine_turns_);
    supervision_->sense_brake(effects_.brake, now_);
    electronics_.sample(wires_, sources_, now_);
    stage_ = Stage::sensed;
}

void Session::Implementation::make() {
    if (!now_.awake) {
        sleep();
    } else {
        try {
            work();
        } catch (const control::UnitFailure& failure) {
            outcome_ = {Status::unit_failure, due_, failure.what() + (" (tick " + std::to_string(ticks_) + ")")};
            return;
        }
    }
    stage_ = Stage::made;
    if (recorded_ && ticks_ % record_every_ == 0) record_.append(due_, values());
}

bool Session::Implementation::key_on() const {
    const bool turned = p_.engine && p_.engine->course.key_off && seconds(due_) >= *p_.engine->course.key_off;
    return !turned && !(key_off_ && due_ >= *key_off_);
}

control::Unit Session::Implementation::fresh() const {
    return make_controller_ ? made(make_controller_, "controller", learned_, p_) : built_in_controller(learned_, p_);
}

void Session::Implementation::work() {
    if (electronics_.booted()) reboot();
    if (side_) side_->govern(now_.command.pedal, now_.input);
    supervision_->watch(now_);
    act();
    if (side_) side_->obey(now_.action);
}

void Session::Implementation::reboot() {
    booted_ = due_;
    if (!lasting_) controller_ = control::asked("the controller", [this] { return fresh(); });
    supervision_->reboot(due_, electronics_.starved());
    if (side_) side_->reboot();
}

void Session::Implementation::sleep() {
    now_.command = {};
    now_.input.motor_permitted = false;
    supervision_->sleep(now_);
    if (side_) side_->sleep(due_);
    connect_motor();
}

void Session::Implementation::apply_faults() {
    if (electronics_.warms() && faults_.empty())
        engine_.set_coefficients(plant::coefficients(electronics_.warm(p_.body.mechanics)));
    if (faults_.empty()) return;
    const fault::Effects next = faults_.effects(due_);
    const Stops stops = held_back(shifted_stops(p_.body.mechanics, next), stops_, body_.angle);
    if (!same_mechanics(next, effects_) || stops != stops_ || ticks_ == 0 || electronics_.warms())
        engine_.set_coefficients(
            plant::coefficients(faulted_mechanics(electronics_.warm(p_.body.mechanics), next, stops)));
    effects_ = next;
    stops_ = stops;
    wires_.tick(due_);
}

void Session::Implementation::sense() {
    const auto& stops = p_.body.mechanics.stops;
    now_.body = body_;
    now_.pedal_travel = foot_ ? *foot_ : stroke_.travel(due_);
    now_.asked = max(pedal_map_(now_.pedal_travel), now_.input.idle_opening);
    now_.blade_opening = (now_.body.angle - stops.closed_angle) / (stops.open_angle - stops.closed_angle);
    sources_.reference = electronics_.reference(p_.reference * effects_.reference);
    sources_.supply = battery_voltage(p_.supply, effects_);
    sources_.motor_current = now_.body.current;
    pedal_.read(now_.pedal_travel, effects_.pedal, ticks_, sources_.pedal);
    now_.input.idle_contact = contact();
    line_.pass(effects_.pedal_lag, sources_.pedal);
    throttle_.read(now_.blade_opening, effects_.throttle, ticks_, sources_.throttle);
}

control::IdleContact Session::Implementation::contact() {
    if (!p_.pedal.idle_switch.fitted) return control::IdleContact::absent;
    const bool pressed = switch_.step(now_.pedal_travel);
    const bool on = effects_.idle_switch == 0.0 ? pressed : effects_.idle_switch > 1.5;
    return on ? control::IdleContact::foot_on : control::IdleContact::foot_off;
}

void Session::Implementation::act() {
    const bool permitted = now_.input.motor_permitted, ready = electronics_.may_drive();
    control::Input in = now_.input;
    in.time -= booted_;
    in.motor_permitted = now_.input.motor_permitted = permitted && ready;
    now_.command = control::asked("the controller", [&] { return controller_(in); });
    if (auto wrong = control::unusable(now_.command)) {
        now_.command = {};
        throw control::UnitFailure(*wrong);
    }
    if (!permitted) now_.command.mode = supervision_->off_mode();
    if (!ready) now_.command.mode = BridgeMode::high_impedance;
    if (now_.command.mode != BridgeMode::drive) now_.command.duty = 0.0;
    connect_motor();
}

void Session::Implementation::connect_motor() {
    sources_.mode = now_.command.mode;
    sources_.duty = now_.command.duty;
    drive_.terminal = electronics_.drive(wires_, sources_);
    now_.command.mode = sources_.mode;
    now_.command.duty = sources_.duty;
    drive_.external_torque = effects_.external_torque + (side_ ? side_->torque(now_.body.angle) : 0.0);
    const bool open = drive_.terminal.mode == BridgeMode::high_impedance && now_.body.current == 0.0;
    now_.motor_voltage = open ? p_.body.mechanics.motor.gear_ratio * p_.body.mechanics.motor.constant * now_.body.speed
                              : plant::motor_voltage(drive_.terminal, now_.body.current);
}

const std::vector<double>& Session::Implementation::values() {
    row_.clear();
    append_values(chain_signals<SnapshotSignals>, SnapshotSignals{now_}, row_);
    supervision_->append(row_);
    electronics_.append(row_);
    if (side_) side_->append(row_);
    return row_;
}

void Session::Implementation::switch_motor(Time instant) {
    wires_.at(instant);
    sources_.motor_current = body_.current;
    drive_.terminal = electronics_.drive(wires_, sources_);
}

void Session::Implementation::advance() {
    const Time next = due_ + period_;
    Time begin = due_;
    EnergyLedger ledger;
    EnergyLedger* books = electronics_.warms() ? &ledger : nullptr;
    for (const Time end : wires_.instants(begin, next)) {
        if (begin > due_) switch_motor(begin);
        if (auto failure = engine_.advance(body_, drive_, seconds(end - begin), books)) {
            outcome_ = {Status::numerical_failure, begin, *failure};
            return;
        }
        begin = end;
    }
    if (books) electronics_.heat(ledger);
    if (side_) side_->advance(now_.body.angle, body_.angle, effects_.leak);
    due_ += period_;
    ++ticks_;
    stage_ = Stage::due;
    change_faults();
}

}  // namespace twintrack::bench
