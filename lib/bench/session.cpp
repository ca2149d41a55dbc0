// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/session.hpp"

#include <array>
#include <cmath>

#include "engine_side.hpp"
#include "inputs.hpp"
#include "safeguards.hpp"
#include "signal_line.hpp"
#include "twintrack/bench/effects.hpp"
#include "twintrack/bench/exact_engine.hpp"
#include "twintrack/core/random.hpp"

namespace twintrack::bench {

using control::Command;
using plant::BridgeMode;
using sensing::max_tracks;

namespace {

constexpr std::uint32_t pedal_noise = 0, throttle_noise = 16;  // first noise channel of each assembly

std::vector<sensing::Track> make_tracks(const std::vector<sensing::TrackParameters>& list, const std::string& where,
                                        int seed, std::uint32_t channel) {
    std::vector<sensing::Track> tracks;
    for (std::size_t k = 0; k < list.size(); ++k) {
        tracks.emplace_back(list[k], where + "[" + std::to_string(k + 1) + "]");
        tracks.back().lay(sensing::grains_of(seed, channel + static_cast<std::uint32_t>(k)));
    }
    return tracks;
}

/// What the monitor says of a learned record that cannot be used; of none it says by itself that there is none.
std::optional<monitor::TroubleCode> code_of(control::MemoryState state) {
    if (state == control::MemoryState::damaged) return monitor::memory_damaged();
    if (state == control::MemoryState::foreign) return monitor::memory_foreign();
    return {};
}

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
          pedal_(make_tracks(p.pedal.tracks, "pedal.tracks", p.seed, pedal_noise)),
          throttle_(make_tracks(p.body.tracks, "body.tracks", p.seed, throttle_noise)),
          pedal_map_(p_.controller.pedal_map.pedal, p_.controller.pedal_map.opening, "controller.pedal_map"),
          wires_(p_, faults_, period_),
          inputs_(p_, period_),
          engine_(plant::coefficients(p.body.mechanics),
                  {.relative_tolerance = p.tolerance, .absolute_tolerance = 0.1 * p.tolerance},
                  p.body.mechanics.backlash),
          controller_(std::move(options.controller)),
          key_off_(options.key_off),
          engine_turns_(options.engine_turns),
          record_(recorded_signals()) {
        check_faults(faults_.faults(), p.engine.has_value(), p.pedal.idle_switch.fitted);
        if (p.engine) side_.emplace(*p.engine, p.body, period_);
        std::optional<monitor::TroubleCode> refused;
        if (options.memory) {
            control::StoredRange stored = options.memory->read();
            refused = code_of(stored.state);
            options.learned = std::move(stored.range);
        }
        safeguards_.emplace(p_, options, std::move(refused), period_);
        if (!controller_) {
            auto own =
                std::make_shared<control::Controller>(p_.controller, p.body.mechanics, std::move(options.learned),
                                                      period_, p.acquisition.filter_time, p.acquisition.bits);
            controller_ = [own](const control::Input& in) { return own->step(in); };
        }
        stops_ = shifted_stops(p.body.mechanics, faults_.effects(Time{}));
        body_ = {0.0, clamp(p.body.mechanics.springs.rest_angle, stops_.closed, stops_.open), 0.0, 0.0};
        std::vector<Signal> signals = recorded_signals();
        for (Signal& more : safeguards_->signals()) signals.push_back(std::move(more));
        if (side_)
            for (const Signal& more : EngineSide::signals()) signals.push_back(more);
        row_.reserve(signals.size());
        record_ = Record(std::move(signals));
        record_.reserve(static_cast<std::size_t>(stroke_.duration() / p.record_period) + 2);
    }

    const Snapshot& tick(bool integrate) {
        if (!outcome_.ok()) return now_;
        now_.time = due_;
        apply_faults();
        sense();
        if (!inputs_.sample(wires_, sources_, ticks_, now_)) {
            outcome_ = {Status::numerical_failure, due_, "the equations of the wiring have no answer"};
            return now_;
        }
        now_.input.key_on = !(key_off_ && due_ >= *key_off_);
        now_.input.engine_still = !(engine_turns_ && due_ >= *engine_turns_);
        safeguards_->sense_brake(effects_.brake, now_);
        if (side_) side_->govern(now_.command.pedal, now_.input);
        safeguards_->watch(now_);
        if (!act()) {
            outcome_ = {Status::numerical_failure, due_, "the controller answered a duty that is not a number"};
            return now_;
        }
        if (side_) side_->obey(now_.action);
        if (ticks_ % record_every_ == 0) store();
        if (integrate) advance();
        return now_;
    }

    const Snapshot& snapshot() const noexcept { return now_; }
    Time due() const noexcept { return due_; }
    Record& record() noexcept { return record_; }
    const Outcome& outcome() const noexcept { return outcome_; }
    const std::vector<monitor::TroubleCode>& codes() const noexcept { return safeguards_->codes(); }
    const monitor::FaultMemory& history() const noexcept { return safeguards_->history(); }

private:
    void apply_faults() {
        if (faults_.empty()) return;
        const fault::Effects next = faults_.effects(due_);
        const Stops stops = held_back(shifted_stops(p_.body.mechanics, next), stops_, body_.angle);
        if (!same_mechanics(next, effects_) || stops != stops_ || ticks_ == 0)
            engine_.set_coefficients(plant::coefficients(with_effects(p_.body.mechanics, next, stops)));
        effects_ = next;
        stops_ = stops;
        wires_.tick(due_);
    }

    /// Outputs of every track now, with their noise.
    void sense() {
        const auto& stops = p_.body.mechanics.stops;
        now_.body = body_;
        now_.pedal_travel = stroke_.travel(due_);
        now_.asked = max(pedal_map_(now_.pedal_travel), now_.input.idle_opening);
        now_.blade_opening = (now_.body.angle - stops.closed_angle) / (stops.open_angle - stops.closed_angle);
        sources_.reference = p_.reference * effects_.reference;
        sources_.supply = battery();
        sources_.motor_current = now_.body.current;
        read(pedal_, now_.pedal_travel, effects_.pedal, pedal_noise, sources_.pedal);
        now_.input.idle_contact = contact();
        line_.pass(effects_.pedal_lag, sources_.pedal);
        read(throttle_, now_.blade_opening, effects_.throttle, throttle_noise, sources_.throttle);
    }

    /// What the idle switch says: itself, or what a fault makes of it.
    [[nodiscard]] control::IdleContact contact() {
        if (!p_.pedal.idle_switch.fitted) return control::IdleContact::absent;
        const bool pressed = switch_.step(now_.pedal_travel);
        const bool on = effects_.idle_switch == 0.0 ? pressed : effects_.idle_switch > 1.5;
        return on ? control::IdleContact::foot_on : control::IdleContact::foot_off;
    }

    [[nodiscard]] double battery() const {
        const auto& pull = effects_.battery;
        return (1.0 - pull.share) * p_.supply * effects_.supply + pull.share * pull.volts;
    }

    void read(std::vector<sensing::Track>& tracks, double position,
              const std::array<sensing::TrackEffect, max_tracks>& effects, std::uint32_t channel,
              wiring::TrackValues& out) {
        for (std::size_t k = 0; k < tracks.size(); ++k) {
            const double noise = tracks[k].parameters().noise + effects[k].noise;
            const NoiseStream stream(static_cast<std::uint32_t>(p_.seed), static_cast<std::uint32_t>(p_.case_number),
                                     channel + static_cast<std::uint32_t>(k));
            out[k] = tracks[k].read(position, effects[k]);
            if (noise > 0.0)
                out[k] = clamp(out[k] + noise * stream.normal(static_cast<std::uint64_t>(ticks_)), 0.0, 1.0);
        }
    }

    /// Asks the controller, and never lets it drive a motor that the monitor has switched off. False: no answer to use.
    bool act() {
        now_.command = controller_(now_.input);
        if (!std::isfinite(now_.command.duty)) return false;
        if (!now_.input.motor_permitted) now_.command.mode = safeguards_->off_mode();
        if (now_.command.mode != BridgeMode::drive) now_.command.duty = 0.0;
        sources_.mode = now_.command.mode;
        sources_.duty = now_.command.duty;
        drive_.terminal = wires_.drive(sources_);
        drive_.external_torque = effects_.external_torque + (side_ ? side_->torque(now_.body.angle) : 0.0);
        const bool open = drive_.terminal.mode == BridgeMode::high_impedance && now_.body.current == 0.0;
        now_.motor_voltage =
            open ? p_.body.mechanics.motor.gear_ratio * p_.body.mechanics.motor.constant * now_.body.speed
                 : plant::motor_voltage(drive_.terminal, now_.body.current);
        return true;
    }

    void store() {
        const Snapshot& s = now_;
        row_ = {s.pedal_travel,
                s.pedal_volts[0],
                s.pedal_volts[1],
                s.pedal_volts[2],
                s.asked,
                s.command.demand,
                s.command.set_point,
                s.command.opening,
                s.blade_opening,
                s.body.angle,
                s.body.speed,
                s.throttle_volts[0],
                s.throttle_volts[1],
                s.throttle_volts[2],
                s.command.duty,
                s.body.current,
                s.motor_voltage,
                s.supply,
                static_cast<double>(s.reaction)};
        safeguards_->append(row_);
        if (side_) side_->append(row_);
        record_.append(due_, row_);
    }

    /// Something in the wiring has come or gone since the tick.
    void switch_motor(Time instant) {
        wires_.at(instant);
        sources_.motor_current = body_.current;
        drive_.terminal = wires_.drive(sources_);
    }

    void advance() {
        const Time next = due_ + period_;
        Time begin = due_;
        for (const Time end : wires_.instants(begin, next)) {
            if (begin > due_) switch_motor(begin);
            if (auto failure = engine_.advance(body_, drive_, seconds(end - begin))) {
                outcome_ = {Status::numerical_failure, begin, *failure};
                return;
            }
            begin = end;
        }
        if (side_) side_->advance(now_.body.angle, body_.angle, effects_.leak);
        due_ += period_;
        ++ticks_;
    }

    BenchParameters p_;
    Stroke stroke_;
    fault::Schedule faults_;
    Time period_;
    std::int64_t record_every_;
    std::vector<sensing::Track> pedal_, throttle_;
    Table pedal_map_;
    Wires wires_;
    Inputs inputs_;
    ExactEngine engine_;
    std::optional<Safeguards> safeguards_;
    std::optional<EngineSide> side_;
    control::Unit controller_;
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
Session::Session(Session&&) noexcept = default;
Session& Session::operator=(Session&&) noexcept = default;

const Snapshot& Session::step() { return implementation_->tick(true); }
const Snapshot& Session::finish() { return implementation_->tick(false); }
const Snapshot& Session::snapshot() const noexcept { return implementation_->snapshot(); }
Time Session::time() const noexcept { return implementation_->due(); }
const Record& Session::record() const noexcept { return implementation_->record(); }
Record Session::take_record() { return std::move(implementation_->record()); }
const std::vector<monitor::TroubleCode>& Session::codes() const noexcept { return implementation_->codes(); }
const monitor::FaultMemory& Session::history() const noexcept { return implementation_->history(); }
const Outcome& Session::outcome() const noexcept { return implementation_->outcome(); }

}  // namespace twintrack::bench
