// SPDX-License-Identifier: BSD-3-Clause
#include "lab.hpp"

#include "tree.hpp"
#include "twintrack/bench/engine_loop.hpp"
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::web {

using bench::BenchParameters;
using bench::Session;
using bench::Stroke;

/// The built-in controller, whose settings can be changed while it runs. Like the built-in one it begins anew after a
/// reset, seen from its clock.
class Lab::LiveController {
public:
    LiveController(BenchParameters p, std::optional<control::LearnedRange> learned)
        : p_(std::move(p)), learned_(std::move(learned)), own_(made()) {}

    control::Command step(const control::Input& in) {
        if (in.time < before_) own_ = made();
        before_ = in.time;
        return own_.step(in);
    }

    [[nodiscard]] const control::PidParameters& gains() const noexcept { return own_.gains(); }

    void set(const control::ControllerParameters& p) {
        const BenchParameters old = p_;
        try {
            BenchParameters changed = p_;
            changed.controller = p;
            if (p_.engine) changed.controller.pedal_map = p_.controller.pedal_map;  // left to the governor
            p_ = changed;
            control::Controller next = made();
            next.restore(own_.memory());
            own_ = next;
        } catch (...) {
            p_ = old;
            throw;
        }
    }

private:
    [[nodiscard]] control::Controller made() const {
        return {p_.controller,
                p_.body.mechanics,
                learned_,
                from_seconds(p_.control_period),
                p_.acquisition.filter_time,
                p_.acquisition.bits};
    }

    BenchParameters p_;
    std::optional<control::LearnedRange> learned_;
    control::Controller own_;
    Time before_{};
};

namespace {

Tree code_tree(const monitor::FaultEntry& e) {
    Tree t;
    t.put("code", e.code.text());
    t.put("meaning", std::string(e.code.meaning));
    t.put("state", name_of(e.state));
    t.put("confirmed", text(seconds(e.code.confirmed)));
    t.put("count", e.count);
    return t;
}

Tree codes_tree(const monitor::FaultMemory& memory) {
    Tree list;
    for (const auto* entries : {&memory.entries(), &memory.modes()})
        for (const monitor::FaultEntry& e : *entries)
            if (e.state != monitor::CodeState::absent) list.push_back({"", code_tree(e)});
    return list;
}

Tree faults_tree(const std::vector<fault::Fault>& faults, Time due) {
    Tree list;
    for (const fault::Fault& f : faults) {
        if (f.to && *f.to <= due) continue;
        Tree t;
        t.put("where", f.where);
        t.put("what", f.what);
        t.put("other", f.with);
        t.put("amount", text(f.amount));
        list.push_back({"", t});
    }
    return list;
}

Tree learned_tree(const control::LearnedRange& r) {
    const auto curves = [](const std::vector<control::LearnedTrack>& tracks) {
        Tree list;
        for (const auto& track : tracks) list.push_back({"", list_of(track.curve)});
        return list;
    };
    Tree t;
    t.add_child("pedal", curves(r.pedal));
    t.add_child("throttle", curves(r.throttle));
    t.put("default_opening", text(r.default_opening));
    t.put("pedal_name", r.pedal_name);
    t.put("body_name", r.body_name);
    t.put("supply", text(r.supply));
    t.put("learned_at", text(r.learned_at));
    t.put("count", r.count);
    return t;
}

Tree gains_tree(const control::PidParameters& gains) {
    Tree t;
    t.put("proportional", text(gains.proportional));
    t.put("integral", text(gains.integral));
    t.put("derivative", text(gains.derivative));
    return t;
}

template <Named E>
Tree names_tree() {
    Tree list;
    for (const auto& [value, name] : names(Tag<E>{})) list.push_back({"", Tree(name)});
    return list;
}

Tree learn_tree(const bench::LearnProcedure& procedure, Time now) {
    Tree t;
    t.put("step", name_of(procedure.state()));
    t.put("over", procedure.over());
    if (!procedure.over()) return t;
    const control::LearnResult result = procedure.result(now);
    t.put("accepted", result.accepted);
    t.put("stopped_in", name_of(result.stopped_in));
    t.put("reason", result.reason);
    if (result.range) t.add_child("range", learned_tree(*result.range));
    return t;
}

}  // namespace

Lab::Lab() = default;
Lab::~Lab() = default;

void Lab::key_on(const Document& d) {
    check_faults(d.bench, d.faults, d.brake, {});
    auto controller = std::make_shared<LiveController>(with_engine(d.bench), d.learned);
    bench::SessionOptions options{.learned = d.learned,
                                  .faults = fault::Schedule(d.faults),
                                  .controller = [controller](const control::Input& in) { return controller->step(in); },
                                  .brake = d.brake ? std::optional(Stroke({0.0, 1.0}, {0.0, 0.0})) : std::nullopt};
    session_ = std::make_unique<Session>(d.bench, d.stroke.value_or(Stroke::rest(1.0)), std::move(options));
    controller_ = std::move(controller);
    procedure_.reset();
    learn_states_.clear();
}

void Lab::learn(const Document& d) {
    check_faults(d.bench, d.faults, false, {});
    control::RangeStore store;
    if (d.learned) store = control::RangeStore(*d.learned);
    auto procedure = std::make_unique<bench::LearnProcedure>(
        d.bench, bench::LearnOptions{.stroke = d.stroke.value_or(Stroke::two_presses()),
                                     .faults = d.faults,
                                     .disturbances = d.disturbances,
                                     .store = store});
    const bench::LearnPlan& plan = procedure->plan();
    bench::SessionOptions options{.faults = fault::Schedule(plan.faults),
                                  .controller = [p = procedure.get()](const control::Input& in) { return p->step(in); },
                                  .monitored = false,
                                  .key_off = plan.key_off,
                                  .engine_turns = plan.engine_turns};
    session_ = std::make_unique<Session>(standing(d.bench), plan.stroke, std::move(options));
    procedure_ = std::move(procedure);
    controller_.reset();
    learn_states_.clear();
}

bool Lab::over() const {
    return !session_->outcome().ok() || (procedure_ && (procedure_->over() || session_->time() > procedure_->last()));
}

int Lab::step(int ticks, std::optional<double> pedal) {
    Session& s = session();
    s.hold_pedal(pedal);
    int made = 0;
    for (; made < ticks && !over(); ++made) {
        s.step();
        if (procedure_)
            while (learn_states_.size() < s.record().size())
                learn_states_.push_back(static_cast<double>(procedure_->state()));
    }
    return made;
}

void Lab::brake(double braking) { session().hold_brake(braking); }
void Lab::inject(fault::Fault f) { session().inject(std::move(f)); }
void Lab::remove(const std::string& where, const std::string& what) { session().remove(where, what); }

void Lab::set_controller(const control::ControllerParameters& p) {
    if (controller_) controller_->set(p);
}

Session& Lab::session() const {
    if (!session_) throw InvalidParameter("lab", "the key has not been turned on yet");
    return *session_;
}

const Record& Lab::record() const { return session().record(); }

std::string Lab::signals() const {
    Tree list;
    for (const Signal& signal : record().signals()) {
        Tree entry;
        entry.put("name", signal.name);
        entry.put("unit", signal.unit);
        list.push_back({"", entry});
    }
    Tree t;
    t.add_child("signals", list);
    return written(t);
}

std::string Lab::state() const {
    const Session& s = session();
    Tree t;
    t.put("time", text(seconds(s.time())));
    t.put("outcome", twintrack::name(s.outcome().status));
    t.put("reason", s.outcome().reason);
    t.put("reaction", name_of(s.snapshot().reaction));
    t.add_child("codes", codes_tree(s.history()));
    t.add_child("faults", faults_tree(s.faults(), s.time()));
    if (controller_) t.add_child("gains", gains_tree(controller_->gains()));
    if (procedure_) t.add_child("learn", learn_tree(*procedure_, s.snapshot().time));
    return written(t);
}

std::string Lab::names() {
    Tree t;
    t.add_child("steps", names_tree<control::LearnState>());
    t.add_child("reactions", names_tree<monitor::Reaction>());
    return written(t);
}

}  // namespace twintrack::web
