// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/session.hpp"

#include <algorithm>

#include "session_implementation.hpp"
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::bench {

namespace {

BenchParameters checked(BenchParameters p) {
    validate(p);
    return with_engine(std::move(p));
}

}  // namespace

Session::Implementation::Implementation(const BenchParameters& p, Stroke stroke, SessionOptions options)
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
              {.relative_tolerance = p.tolerance, .absolute_tolerance = 0.1 * p.tolerance}, p.body.mechanics.backlash),
      key_off_(options.key_off),
      engine_turns_(options.engine_turns),
      record_(recorded_signals()),
      recorded_(options.recorded) {
    check_faults(faults_.faults(), p.engine.has_value(), p.pedal.idle_switch.fitted);
    if (p.engine) side_.emplace(*p.engine, p.body, period_);
    auto refused = read_memory(options);
    supervision_.emplace(p_, options, std::move(refused), period_);
    learned_ = std::move(options.learned);
    make_controller_ = std::move(options.units.controller);
    lasting_ = static_cast<bool>(options.controller);
    controller_ = lasting_ ? std::move(options.controller) : fresh();
    stops_ = shifted_stops(p.body.mechanics, faults_.effects(Time{}));
    body_ = {0.0, clamp(p.body.mechanics.springs.rest_angle, stops_.closed, stops_.open), 0.0, 0.0};
    std::vector<Signal> signals = recorded_signals();
    for (Signal& more : supervision_->signals()) signals.push_back(std::move(more));
    for (Signal& more : electronics_.signals()) signals.push_back(std::move(more));
    if (side_)
        for (const Signal& more : EngineLoop::signals()) signals.push_back(more);
    row_.reserve(signals.size());
    record_ = Record(std::move(signals));
    if (recorded_) record_.reserve(static_cast<std::size_t>(stroke_.duration() / p.record_period) + 2);
}

void Session::Implementation::hold_pedal(std::optional<double> travel) {
    if (travel) require(*travel, {0.0, 1.0}, "pedal", "", "share of travel");
    foot_ = travel;
}

void Session::Implementation::inject(fault::Fault f) {
    f.from = std::max(f.from, next());
    std::vector<fault::Fault> all = faults();
    all.push_back(std::move(f));
    use(std::move(all));
}

void Session::Implementation::remove(const std::string& where, const std::string& what) {
    std::vector<fault::Fault> all = faults();
    const auto there = [&](const fault::Fault& f) {
        return f.where == where && f.what == what && !(f.to && *f.to <= next());
    };
    const auto found = std::find_if(all.begin(), all.end(), there);
    if (found == all.end()) throw InvalidParameter("fault", "there is no '" + what + "' at '" + where + "' now");
    if (found->from < next())
        found->to = next();
    else
        all.erase(found);
    use(std::move(all));
}

void Session::Implementation::use(std::vector<fault::Fault> all) {
    check_faults(all, p_.engine.has_value(), p_.pedal.idle_switch.fitted);
    fault::Schedule schedule(std::move(all));
    // The first thing that changes, and the rest cannot fail.
    coming_.emplace(Coming{schedule, Wires(p_, schedule, period_)});
    if (stage_ == Stage::due) change_faults();
}

void Session::Implementation::change_faults() {
    if (!coming_) return;
    wires_ = std::move(coming_->wires);
    faults_ = std::move(coming_->faults);
    coming_.reset();
}

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
const Snapshot& Session::sense() { return implementation_->sense_tick(); }
const std::vector<double>& Session::values() { return implementation_->values(); }
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
