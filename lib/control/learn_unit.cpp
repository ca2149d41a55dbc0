// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_unit.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::control {

OwnLearn::OwnLearn(LearnFunction step, RangeStore store) : step_(std::move(step)), store_(std::move(store)) {}

Command OwnLearn::step(const Input& in) {
    if (finished()) return {};
    LearnAnswer answer = asked("the learn", [&] { return step_(in); });
    if (auto wrong = unusable(answer.command, "the learn")) throw UnitFailure(*wrong);
    const Command command = answer.command;
    if (answer.finished) end(std::move(answer));
    return command;
}

void OwnLearn::end(LearnAnswer answer) {
    result_.stopped_in = state_;
    if (!answer.range) {
        result_.refusal = Refusal::own_reason;
        result_.reason = answer.reason.empty() ? "The learn gave no reason." : std::move(answer.reason);
        state_ = LearnState::refused;
        return;
    }
    try {
        check(*answer.range, "range");
    } catch (const InvalidParameter& wrong) {
        throw UnitFailure(std::string("the learn answered ") + wrong.what());
    }
    store_.begin(std::move(*answer.range));
    while (!store_.write(RangeLearn::write_rate)) {
    }
    result_.accepted = true;
    result_.range = store_.read().range;
    result_.stopped_in = state_ = LearnState::accepted;
}

LearnFunction as_function(RangeLearn learn) {
    return [own = std::move(learn)](const Input& in) mutable {
        LearnAnswer answer{.command = own.step(in), .finished = own.finished()};
        if (answer.finished) answer.range = own.result().range, answer.reason = own.result().reason;
        return answer;
    };
}

}  // namespace twintrack::control
