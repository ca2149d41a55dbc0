// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/session.hpp"

#include <algorithm>
#include <array>

#include "inputs.hpp"
#include "signal_line.hpp"
#include "snapshot_signals.hpp"
#include "supervision.hpp"
#include "tracks.hpp"
#include "twintrack/bench/electronics.hpp"
#include "twintrack/bench/engine_loop.hpp"
#include "twintrack/bench/exact_solver.hpp"
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/bench/faulted_body.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::bench {

using control::Command;
using plant::BridgeMode;

namespace {

BenchParameters checked(BenchParameters p) {
    validate(p);
    return with_engine(std::move(p));
}

}  // namespace

class Session::Implementation {
public:
    Implementation(const BenchParameters& p, Stroke stroke, SessionOptions options)
        : p_(checked(p)),
          stroke_(std::move(stroke)),
          faults_(std::move(options.faults)),
          period_(from_seconds(p.control_period)),
          record_every_(from_seconds(p.record_period).count() / period_.count()),
          pedal_(p.pedal.tracks, "pedal.tracks", p.seed, p.case_number, sensing::channels::pedal_noise),
          throttle_(p.body.tracks, "body.tracks", p.seed, p.case_number, sensing::channels::throttle_noise),
          pedal_map_(p_.controller.pedal_map.pedal, p_.controller.pedal_map.opening, "controller.pedal_map"),
          wires_(p_, faults_, period_),
          inputs_(p_, period_),
          electronics_(p_, period_),
          engine_(plant::coefficients(p.body.mechanics),
                  {.relative_tolerance = p.tolerance, .absolute_tolerance = 0.1 * p.tolerance},
                  p.body.mechanics.backlash),
          key_off_(options.key_off),
          engine_turns_(options.engine_turns),
          record_(recorded_signals()) {
        check_faults(faults_.faults(), p.engine.has_value(), p.pedal.idle_switch.fitted);
        if (p.engine) side_.emplace(*p.engine, p.body, period_);
        auto refused = read_memory(options);
        supervision_.emplace(p_, options, std::move(refused), period_);
        learned_ = std::move(options.learned);
        replace(std::move(options.controller));
        stops_ = shifted_stops(p.body.mechanics, faults_.effects(Time{}));
        body_ = {0.0, clamp(p.body.mechanics.springs.rest_angle, stops_.closed, stops_.open), 0.0, 0.0};
        std::vector<Signal> signals = recorded_signals();
        for (Signal& more : supervision_->signals()) signals.push_back(std::move(more));
        for (Signal& more : electronics_.signals()) signals.push_back(std::move(more));
        if (side_)
            for (const Signal& more : EngineLoop::signals()) signals.push_back(more);
        row_.reserve(signals.size());
        record_ = Record(std::move(signals));
        record_.reserve(static_cast<std::size_t>(stroke_.duration() / p.record_period) + 2);
    }

    /// The built-in controller when there is none.
    void replace(control::Unit controller) {
        replaced_ = static_cast<bool>(controller);
        controller_ = replaced_ ? std::move(controller) : built_in();
    }
    [[nodiscard]] bool replaced() const noexcept { return replaced_; }

    void hold_pedal(std::optional<double> travel) {
        if (travel) require(*travel, {0.0, 1.0}, "pedal", "", "share of travel");
        foot_ = travel;
    }

    void hold_brake(double braking) { supervision_->hold_brake(braking); }

    void inject(fault::Fault f) {
        f.from = std::max(f.from, due_);
        std::vector<fault::Fault> all = faults_.faults();
        all.push_back(std::move(f));
        use(std::move(all));
    }

    void remove(const std::string& where, const std::string& what) {
        std::vector<fault::Fault> all = faults_.faults();
        const auto there = [&](const fault::Fault& f) {
            return f.where == where && f.what == what && !(f.to && *f.to <= due_);
        };
        const auto found = std::find_if(all.begin(), all.end(), there);
        if (found == all.end()) throw InvalidParameter("fault", "there is no '" + what + "' at '" + where + "' now");
        if (found->from < due_)
            found->to = due_;
        else
            all.erase(found);
        use(std::move(all));
    }

    [[nodiscard]] const std::vector<fault::Fault>& faults() const noexcept { return faults_.faults(); }

    const Snapshot& tick(bool integrate) {
        if (!outcome_.ok()) return now_;
        now_.time = outcome_.when = due_;
        apply_faults();
        sense();
        if (!inputs_.sample(wires_, sources_, ticks_, now_)) {
            outcome_ = {Status::numerical_failure, due_, "the equations of the wiring have no answer"};
            return now_;
        }
        now_.input.key_on = key_on();
        now_.input.engine_still = !(engine_turns_ && due_ >= *engine_turns_);
        supervision_->sense_brake(effects_.brake, now_);
        electronics_.sample(wires_, sources_, now_);
        if (!now_.awake) {
            sleep();
        } else if (auto failure = work()) {
            outcome_ = {Status::unit_failure, due_, std::move(*failure)};
            return now_;
        }
        if (ticks_ % record_every_ == 0) store();
        if (integrate) advance();
        return now_;
    }

    const Snapshot& snapshot() const noexcept { return now_; }
    Time due() const noexcept { return due_; }
    Record& record() noexcept { return record_; }
    const Outcome& outcome() const noexcept { return outcome_; }
    const std::vector<monitor::TroubleCode>& codes() const noexcept { return supervision_->codes(); }
    const monitor::FaultMemory& history() const noexcept { return supervision_->history(); }

private:
    [[nodiscard]] bool key_on() const {
        const bool turned = p_.engine && p_.engine->course.key_off && seconds(due_) >= *p_.engine->course.key_off;
        return !turned && !(key_off_ && due_ >= *key_off_);
    }

    [[nodiscard]] control::Unit built_in() const {
        return
            [own = control::Controller(p_.controller, p_.body.mechanics, learned_, period_, p_.acquisition.filter_time,
                                       p_.acquisition.bits)](const control::Input& in) mutable { return own.step(in); };
    }

    /// Other faults from the tick that is due on.
    void use(std::vector<fault::Fault> all) {
        check_faults(all, p_.engine.has_value(), p_.pedal.idle_switch.fitted);
        fault::Schedule schedule(std::move(all));
        wires_ = Wires(p_, schedule, period_);  // the first thing that changes, and all of the rest cannot fail
        faults_ = std::move(schedule);
    }

    /// What the controller does at a tick. A sentence when it gave no command to use.
    std::optional<std::string> work() {
        if (electronics_.booted()) reboot();
        if (side_) side_->govern(now_.command.pedal, now_.input);
        supervision_->watch(now_);
        if (auto failure = act()) return failure;
        if (side_) side_->obey(now_.action);
        return {};
    }

    /// In reset: loop and monitor forget; what was learned and the codes are kept.
    void reboot() {
        booted_ = due_;
        if (!replaced_) controller_ = built_in();
        supervision_->reboot(due_, electronics_.starved());
        if (side_) side_->reboot();
    }

    void sleep() {
        now_.command = {};
        now_.input.motor_permitted = false;
        supervision_->sleep(now_);
        if (side_) side_->sleep(due_);
        connect_motor();
    }

    void apply_faults() {
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

    /// Outputs of every track now, with their noise.
    void sense() {
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

    /// What the idle switch says: itself, or what a fault makes of it.
    [[nodiscard]] control::IdleContact contact() {
        if (!p_.pedal.idle_switch.fitted) return control::IdleContact::absent;
        const bool pressed = switch_.step(now_.pedal_travel);
        const bool on = effects_.idle_switch == 0.0 ? pressed : effects_.idle_switch > 1.5;
        return on ? control::IdleContact::foot_on : control::IdleContact::foot_off;
    }

    /// Asks the controller, and never lets it drive a motor that the monitor has switched off.
    std::optional<std::string> act() {
        const bool permitted = now_.input.motor_permitted, ready = electronics_.may_drive();
        control::Input in = now_.input;
        in.time -= booted_;
        in.motor_permitted = now_.input.motor_permitted = permitted && ready;
        try {
            now_.command = controller_(in);
        } catch (const std::exception& e) {
            return std::string("the controller failed: ") + e.what();
        }
        if (auto wrong = control::unusable(now_.command)) {
            now_.command = {};
            return wrong;
        }
        if (!permitted) now_.command.mode = supervision_->off_mode();
        if (!ready) now_.command.mode = BridgeMode::high_impedance;
        if (now_.command.mode != BridgeMode::drive) now_.command.duty = 0.0;
        connect_motor();
        return {};
    }

    /// Joins the motor to the bridge until the next tick.
    void connect_motor() {
        sources_.mode = now_.command.mode;
        sources_.duty = now_.command.duty;
        drive_.terminal = electronics_.drive(wires_, sources_);
        now_.command.mode = sources_.mode;
        now_.command.duty = sources_.duty;
        drive_.external_torque = effects_.external_torque + (side_ ? side_->torque(now_.body.angle) : 0.0);
        const bool open = drive_.terminal.mode == BridgeMode::high_impedance && now_.body.current == 0.0;
        now_.motor_voltage =
            open ? p_.body.mechanics.motor.gear_ratio * p_.body.mechanics.motor.constant * now_.body.speed
                 : plant::motor_voltage(drive_.terminal, now_.body.current);
    }

    void store() {
        row_.clear();
        append_values(chain_signals<SnapshotSignals>, SnapshotSignals{now_}, row_);
        supervision_->append(row_);
        electronics_.append(row_);
        if (side_) side_->append(row_);
        record_.append(due_, row_);
    }

    /// Something in the wiring has come or gone since the tick.
    void switch_motor(Time instant) {
        wires_.at(instant);
        sources_.motor_current = body_.current;
        drive_.terminal = electronics_.drive(wires_, sources_);
    }

    void advance() {
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
    }

    BenchParameters p_;
    Stroke stroke_;
    fault::Schedule faults_;
    Time period_;
    std::int64_t record_every_;
    Tracks pedal_, throttle_;
    Table pedal_map_;
    Wires wires_;
    Inputs inputs_;
    Electronics electronics_;
    ExactSolver engine_;
    std::optional<Supervision> supervision_;
    std::optional<EngineLoop> side_;
    std::optional<control::LearnedRange> learned_;
    control::Unit controller_;
    bool replaced_ = false;       ///< the controller is the user's
    Time booted_{};               ///< since when the controller runs
    std::optional<double> foot_;  ///< [share of travel] held by hand, in place of the stroke
    std::optional<Time> key_off_, engine_turns_;
    Record record_;
    std::vector<double> row_;  ///< of the record, written anew each time
    sensing::IdleSwitch switch_{p_.pedal.idle_switch};
    SignalLine line_{p_.control_period};
    fault::Effects effects_;
    Stops stops_;
    wiring::HarnessInput sources_;
    plant::Drive<double> drive_;
    plant::State<double> body_{};  ///< between the ticks; the snapshot holds it as it was at the last one
    Snapshot now_;
    Outcome outcome_;
    Time due_{};
    std::int64_t ticks_ = 0;
};

Session::Session(const BenchParameters& p, Stroke stroke, SessionOptions options)
    : implementation_(std::make_unique<Implementation>(p, std::move(stroke), std::move(options))) {}
Session::~Session() = default;
Session Session::fork(control::Unit controller) const {
    Session other(std::make_unique<Implementation>(*implementation_));
    if (controller) other.implementation_->replace(std::move(controller));
    return other;
}
Session::Session(std::unique_ptr<Implementation> implementation) : implementation_(std::move(implementation)) {}
Session::Session(Session&&) noexcept = default;
Session& Session::operator=(Session&&) noexcept = default;

const Snapshot& Session::step() { return implementation_->tick(true); }
const Snapshot& Session::finish() { return implementation_->tick(false); }
void Session::hold_pedal(std::optional<double> travel) { implementation_->hold_pedal(travel); }
void Session::hold_brake(double braking) { implementation_->hold_brake(braking); }
void Session::inject(fault::Fault f) { implementation_->inject(std::move(f)); }
void Session::remove(const std::string& where, const std::string& what) { implementation_->remove(where, what); }
const std::vector<fault::Fault>& Session::faults() const noexcept { return implementation_->faults(); }
const Snapshot& Session::snapshot() const noexcept { return implementation_->snapshot(); }
Time Session::time() const noexcept { return implementation_->due(); }
const Record& Session::record() const noexcept { return implementation_->record(); }
Record Session::take_record() { return std::move(implementation_->record()); }
const std::vector<monitor::TroubleCode>& Session::codes() const noexcept { return implementation_->codes(); }
const monitor::FaultMemory& Session::history() const noexcept { return implementation_->history(); }
const Outcome& Session::outcome() const noexcept { return implementation_->outcome(); }

}  // namespace twintrack::bench
