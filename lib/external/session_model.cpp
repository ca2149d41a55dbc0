// SPDX-License-Identifier: BSD-3-Clause
#include "session_model.hpp"

#include <algorithm>
#include <stdexcept>
#include <tuple>

#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/fault/wiring_faults.hpp"

namespace twintrack::external {

using bench::Snapshot;

namespace {

/// What a controller reads and what follows, beside the recorded signals.
struct Reading {
    const char *name, *unit, *meaning;
    double (*value)(const Snapshot&);
};

constexpr const char* share = "reading, share of converter full scale";
constexpr const char* reference = "at the reference pin of the track";
constexpr std::array<Reading, 15> readings{{
    {"tick", "s", "time of the tick that the outputs belong to", [](const Snapshot& s) { return seconds(s.time); }},
    {"reading.pedal[1]", "", share, [](const Snapshot& s) { return s.input.pedal[0]; }},
    {"reading.pedal[2]", "", share, [](const Snapshot& s) { return s.input.pedal[1]; }},
    {"reading.pedal[3]", "", share, [](const Snapshot& s) { return s.input.pedal[2]; }},
    {"reading.throttle[1]", "", share, [](const Snapshot& s) { return s.input.throttle[0]; }},
    {"reading.throttle[2]", "", share, [](const Snapshot& s) { return s.input.throttle[1]; }},
    {"reading.throttle[3]", "", share, [](const Snapshot& s) { return s.input.throttle[2]; }},
    {"reading.pedal_reference[1]", "V", reference, [](const Snapshot& s) { return s.input.pedal_reference[0]; }},
    {"reading.pedal_reference[2]", "V", reference, [](const Snapshot& s) { return s.input.pedal_reference[1]; }},
    {"reading.pedal_reference[3]", "V", reference, [](const Snapshot& s) { return s.input.pedal_reference[2]; }},
    {"reading.throttle_reference[1]", "V", reference, [](const Snapshot& s) { return s.input.throttle_reference[0]; }},
    {"reading.throttle_reference[2]", "V", reference, [](const Snapshot& s) { return s.input.throttle_reference[1]; }},
    {"reading.throttle_reference[3]", "V", reference, [](const Snapshot& s) { return s.input.throttle_reference[2]; }},
    {"reading.supply", "V", "supply that the controller measures", [](const Snapshot& s) { return s.input.supply; }},
    {"reading.motor_current", "A", "current that the bridge measures",
     [](const Snapshot& s) { return s.input.motor_current; }},
}};

/// Of the recorded signals, those that only a controller makes.
bool of_controller(const std::string& name) {
    constexpr std::array<const char*, 5> all{"asked", "demand", "set_point", "opening", "reaction"};
    return std::find(all.begin(), all.end(), name) != all.end();
}

std::vector<const char*> bridge_modes() {
    std::vector<const char*> all;
    for (const auto& [mode, name] : names(Tag<plant::BridgeMode>{})) all.push_back(name);
    return all;
}

/// The catalogue's entry of a fault, for unit and range of its amount.
const fault::Kind* kind_of(const fault::Fault& f) {
    for (const fault::Kind& k : fault::catalogue())
        if (f.where == k.where && f.what == k.what) return &k;
    for (const fault::Kind& k : fault::wiring_kinds())
        if (f.what == k.what) return &k;
    return nullptr;
}

}  // namespace

struct SessionModel::Frozen : Inner {
    bench::Session session;
    control::Command command;
    std::vector<std::pair<bool, double>> acting;
    std::vector<int> columns;
    Time due;
    bool there;

    Frozen(bench::Session s, const control::Command& c, Time t, bool h)
        : session(std::move(s)), command(c), due(t), there(h) {}
};

SessionModel::SessionModel(Document document) : Model(std::move(document)) {
    add_inputs();
    add_switches();
    add_outputs();
}

control::Unit SessionModel::told() const {
    if (!plant()) return {};
    return [command = command_](const control::Input&) { return *command; };
}

bench::Session SessionModel::session() {
    const Document& d = document_;
    return {d.bench,
            d.stroke,
            {.learned = learned(),
             .faults = fault::Schedule(d.faults),
             .controller = told(),
             .monitored = !plant(),
             .brake = d.brake,
             .recorded = false}};
}

void SessionModel::add_inputs() {
    add({"input.pedal",
         Kind::number,
         Role::input,
         "",
         "foot, share of travel; below 0 it follows the stroke of the study",
         {-1.0, 1.0}},
        &pedal_);
    if (document_.brake)
        add({"input.brake",
             Kind::number,
             Role::input,
             "",
             "how hard the driver brakes; below 0: as the study says",
             {-1.0, 1.0}},
            &brake_);
    brake_ = -1.0;
    if (!plant()) return;
    add({"input.duty", Kind::number, Role::input, "", "duty of the bridge, opening positive", {-1.0, 1.0}}, &duty_);
    add({"input.mode", Kind::choice, Role::input, "", "of the bridge", {}, bridge_modes()}, &mode_);
}

void SessionModel::add_switches() {
    for (const FaultSwitch& s : document_.switches) {
        Switch& held = switches_.emplace_back();
        held.amount = s.fault.amount;
        add({"fault." + s.name + ".active", Kind::flag, Role::input, "", "there while it is true"}, &held.active);
        const fault::Kind* kind = kind_of(s.fault);
        if (kind && kind->least < kind->most)
            add({"fault." + s.name + ".amount",
                 Kind::number,
                 Role::tunable,
                 kind->unit,
                 kind->meaning,
                 {kind->least, kind->most}},
                &held.amount);
    }
}

void SessionModel::add_outputs() {
    const bench::Session probe = session();
    for (const Signal& s : probe.record().signals()) {
        if (plant() && of_controller(s.name)) continue;
        signals_.push_back(s.name);
        add_output({s.name, Kind::number, Role::output, s.unit, "signal of the record"});
    }
    for (const Reading& r : readings) add_output({r.name, Kind::number, Role::output, r.unit, r.meaning});
    add_output({"bridge.mode", Kind::choice, Role::output, "", "what the bridge does", {}, bridge_modes()});
    if (plant()) return;
    add_output({"code_count", Kind::integer, Role::output, "", "how many trouble codes are set"});
    add_output({"codes", Kind::text, Role::output, "", "trouble codes in their order, between blanks"});
}

void SessionModel::look(std::vector<double>& numbers, std::vector<std::string>& texts) {
    const std::vector<double>& values = session_->values();
    std::size_t k = 0;
    for (; k < columns_.size(); ++k) numbers[k] = columns_[k] < 0 ? 0.0 : values[static_cast<std::size_t>(columns_[k])];
    const Snapshot& now = session_->snapshot();
    for (const Reading& r : readings) numbers[k++] = r.value(now);
    numbers[k++] = static_cast<double>(static_cast<int>(now.command.mode));
    if (plant()) return;
    numbers[k++] = static_cast<double>(session_->codes().size());
    std::string all;
    for (const auto& code : session_->codes()) all += (all.empty() ? "" : " ") + code.text();
    texts[k] = std::move(all);
}

void SessionModel::begin() {
    session_.emplace(session());
    const std::vector<Signal>& there = session_->record().signals();
    columns_.clear();
    for (const std::string& name : signals_) {
        const auto found = std::find_if(there.begin(), there.end(), [&](const Signal& s) { return s.name == name; });
        columns_.push_back(found == there.end() ? -1 : static_cast<int>(found - there.begin()));
    }
    for (Switch& s : switches_) s.acts = false;
    there_ = false;
    pass_inputs();
    due_ = period();
}

void SessionModel::integrate() {
    if (there_) return;
    *command_ = {.mode = static_cast<plant::BridgeMode>(mode_), .duty = duty_};
    session_->step();
    check_outcome();
    there_ = true;
}

void SessionModel::tick() {
    integrate();
    pass_inputs();
    there_ = false;
    due_ += period();
}

/// Foot, faults and all that follows from them at the tick that is due.
void SessionModel::pass_inputs() {
    session_->hold_pedal(pedal_ < 0.0 ? std::nullopt : std::optional(pedal_));
    if (document_.brake && brake_ >= 0.0) session_->hold_brake(brake_);
    turn_switches();
    if (plant())
        session_->sense();
    else
        session_->finish();
    check_outcome();
}

void SessionModel::turn_switches() {
    for (std::size_t i = 0; i < switches_.size(); ++i) {
        Switch& s = switches_[i];
        if (s.active == s.acts && (!s.acts || s.amount == s.acting)) continue;
        fault::Fault f = document_.switches[i].fault;
        f.amount = s.amount;
        if (s.acts) session_->remove(f.where, f.what);
        s.acts = false;
        if (s.active) session_->inject(f);
        s.acts = s.active;
        s.acting = s.amount;
    }
}

void SessionModel::check_outcome() const {
    const Outcome& o = session_->outcome();
    if (!o.ok()) throw std::runtime_error(std::string(name(o.status)) + ": " + o.reason);
}

void SessionModel::inject(const fault::Fault& fault) {
    if (started()) return session_->inject(fault);
    std::vector<fault::Fault> all = document_.faults;
    all.push_back(fault);
    (void)fault::Schedule(all);
    bench::check_faults(document_.bench, all, document_.brake.has_value(), {});
    document_.faults = std::move(all);
}

void SessionModel::remove(const std::string& where, const std::string& what) {
    if (started()) return session_->remove(where, what);
    const auto found = std::find_if(document_.faults.begin(), document_.faults.end(),
                                    [&](const fault::Fault& f) { return f.where == where && f.what == what; });
    if (found == document_.faults.end())
        throw InvalidParameter("fault", "there is no '" + what + "' at '" + where + "'");
    document_.faults.erase(found);
}

std::shared_ptr<const Model::Inner> SessionModel::save_inner() const {
    auto frozen = std::make_shared<Frozen>(session_->fork(), *command_, due_, there_);
    for (const Switch& s : switches_) frozen->acting.emplace_back(s.acts, s.acting);
    frozen->columns = columns_;
    return frozen;
}

void SessionModel::restore_inner(const Inner& inner) {
    const Frozen& frozen = dynamic_cast<const Frozen&>(inner);
    *command_ = frozen.command;
    session_.emplace(frozen.session.fork(told()));
    for (std::size_t i = 0; i < switches_.size(); ++i)
        std::tie(switches_[i].acts, switches_[i].acting) = frozen.acting[i];
    columns_ = frozen.columns;
    due_ = frozen.due;
    there_ = frozen.there;
}

}  // namespace twintrack::external
