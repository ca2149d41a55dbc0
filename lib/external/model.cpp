// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/external/model.hpp"

#include "controller_model.hpp"
#include "session_model.hpp"
#include "slots.hpp"
#include "twintrack/bench/learn.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::external {

namespace {

constexpr std::array<const char*, 3> learned_choices{"stored", "none", "fresh"};
enum Learned { stored, none, fresh };

}  // namespace

struct Model::Slots {
    std::vector<Slot> in;  ///< the first of the variables; the outputs follow
    std::deque<OptionalNumber> optional;
    int learned = stored;
};

class Model::Saved {
public:
    std::vector<double> numbers;
    std::vector<std::string> texts;
    std::shared_ptr<const Inner> inner;
    std::optional<control::LearnedRange> learned;
    Time time{};
};

Model::~Model() = default;

std::unique_ptr<Model> Model::make(Document document) {
    if (document.kind == ModelKind::controller) return std::make_unique<ControllerModel>(std::move(document));
    return std::make_unique<SessionModel>(std::move(document));
}

Model::Model(Document document) : document_(std::move(document)), slots_(std::make_unique<Slots>()) {
    slots_->learned = document_.learns ? fresh : document_.learned ? stored : none;
    add_fields(description(Tag<bench::BenchParameters>{}), &document_.bench, "bench", slots_->in, slots_->optional);
    for (const Slot& slot : slots_->in) variables_.push_back(slot.variable);
    if (document_.kind != ModelKind::plant)
        add({"learned",
             Kind::choice,
             Role::parameter,
             "",
             "what the controller has learned at the start",
             {},
             {learned_choices.begin(), learned_choices.end()}},
            &slots_->learned);
}

void Model::add(Variable v, void* at) {
    variables_.push_back(v);
    slots_->in.push_back({std::move(v), at});
}

void Model::add_output(Variable v) {
    v.role = Role::output;
    variables_.push_back(std::move(v));
    numbers_.push_back(0.0);
    texts_.emplace_back();
}

Time Model::period() const noexcept { return from_seconds(document_.bench.control_period); }

std::size_t Model::output(std::size_t index) {
    if (index >= variables_.size())
        throw InvalidParameter("variable", "there is no number " + std::to_string(index) + "; there are " +
                                               std::to_string(variables_.size()));
    if (!looked_ && started_) look(numbers_, texts_);
    looked_ = true;
    return index - slots_->in.size();
}

double Model::number(std::size_t index) {
    if (index < slots_->in.size()) return number_in(slots_->in[index]);
    const std::size_t place = output(index);
    if (variables_[index].kind == Kind::text) throw InvalidParameter(variables_[index].name, "is a text and no number");
    return numbers_[place];
}

const std::string& Model::text(std::size_t index) {
    if (index < slots_->in.size()) return text_in(slots_->in[index]);
    const std::size_t place = output(index);
    if (variables_[index].kind != Kind::text) throw InvalidParameter(variables_[index].name, "is no text");
    return texts_[place];
}

void Model::settable(std::size_t index) const {
    if (index >= slots_->in.size())
        throw InvalidParameter(index < variables_.size() ? variables_[index].name : "variable",
                               "is an output, or there is no such number");
    if (started_ && variables_[index].role == Role::parameter)
        throw InvalidParameter(variables_[index].name, "is fixed once the run has started");
}

void Model::set(std::size_t index, double value) {
    settable(index);
    put(slots_->in[index], value);
}

void Model::set_text(std::size_t index, const std::string& value) {
    settable(index);
    put_text(slots_->in[index], value);
}

std::optional<control::LearnedRange> Model::learn() const {
    if (document_.kind == ModelKind::plant || slots_->learned == none) return {};
    if (slots_->learned == stored) {
        if (!document_.learned)
            throw InvalidParameter("learned", "is \"stored\", and no learned range is stored; allowed: none, fresh");
        check(*document_.learned, "learned");
        return document_.learned;
    }
    const bench::LearnRun learn = bench::learn(document_.bench);
    if (!learn.result.accepted)
        throw InvalidParameter("learned", "the range learn was refused: " + learn.result.reason);
    return learn.result.range;
}

void Model::start() {
    if (started_) throw InvalidParameter("start", "the run has started already");
    for (OptionalNumber& o : slots_->optional) *o.target = o.given ? std::optional(o.value) : std::optional<double>();
    validate(document_.bench, "bench");
    learned_ = learn();
    begin();
    started_ = true;
    looked_ = false;
}

void Model::advance(Time until) {
    if (!started_) throw InvalidParameter("step", "the run has not started");
    time_ = until;
    while (ticks(until)) {
        looked_ = false;
        tick();
    }
}

void Model::approach(Time until) {
    advance(until - Time{1});
    time_ = until;
    if (ticks(until)) integrate();
}

void Model::inject(const fault::Fault&) { throw InvalidParameter("fault", "a controller alone has none"); }
void Model::remove(const std::string&, const std::string&) { inject({}); }

std::shared_ptr<const Model::Saved> Model::save() const {
    auto saved = std::make_shared<Saved>();
    for (const Slot& slot : slots_->in) {
        const bool text = slot.variable.kind == Kind::text;
        saved->numbers.push_back(text ? 0.0 : number_in(slot));
        saved->texts.push_back(text ? text_in(slot) : std::string());
    }
    saved->learned = learned_;
    saved->time = time_;
    if (started_) saved->inner = save_inner();
    return saved;
}

void Model::restore(const Saved& saved) {
    if (saved.numbers.size() != slots_->in.size()) throw InvalidParameter("state", "is of another model");
    for (std::size_t i = 0; i < slots_->in.size(); ++i) {
        const Slot& slot = slots_->in[i];
        if (slot.variable.kind == Kind::text)
            put_text(slot, saved.texts[i]);
        else
            put(slot, saved.numbers[i]);
    }
    learned_ = saved.learned;
    time_ = saved.time;
    started_ = saved.inner != nullptr;
    looked_ = false;
    if (started_) restore_inner(*saved.inner);
}

}  // namespace twintrack::external
