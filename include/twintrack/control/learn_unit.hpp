// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <variant>

#include "twintrack/control/range_learn.hpp"
#include "twintrack/control/unit.hpp"

/// Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
/// engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
namespace twintrack::control {

/// What a learn of one's own answers at a tick.
struct LearnAnswer {
    Command command{};
    bool finished = false;  ///< accepted when it has a range, else refused
    std::optional<LearnedRange> range{};
    std::string reason{};  ///< of a refusal, one sentence
};

/// A learn of any making, under the same rule of copies as a controller.
using LearnFunction = std::function<LearnAnswer(const Input&)>;

/// A learn of one's own with what every learn needs around it: what it gave, and the memory that keeps it.
class OwnLearn {
public:
    /// `store` holds what was learned before.
    OwnLearn(LearnFunction step, RangeStore store);

    /// UnitFailure for a command or a range that cannot be used, and for what the function throws.
    Command step(const Input& in);
    [[nodiscard]] bool finished() const noexcept { return state() != LearnState::precheck; }
    /// Of its own steps nothing is known: `precheck` until it is finished.
    [[nodiscard]] LearnState state() const noexcept { return state_; }
    [[nodiscard]] const LearnResult& result() const noexcept { return result_; }
    [[nodiscard]] const RangeStore& store() const noexcept { return store_; }

private:
    void end(LearnAnswer answer);

    LearnFunction step_;
    RangeStore store_;
    LearnResult result_;
    LearnState state_ = LearnState::precheck;
};

/// The learn of a bench: the built-in one or one's own.
class LearnUnit {
public:
    LearnUnit(RangeLearn built_in) : held_(std::move(built_in)) {}
    LearnUnit(OwnLearn own) : held_(std::move(own)) {}

    Command step(const Input& in) {
        return std::visit([&](auto& l) { return l.step(in); }, held_);
    }
    [[nodiscard]] bool finished() const noexcept {
        return std::visit([](const auto& l) { return l.finished(); }, held_);
    }
    [[nodiscard]] LearnState state() const noexcept {
        return std::visit([](const auto& l) { return l.state(); }, held_);
    }
    [[nodiscard]] const LearnResult& result() const noexcept {
        return std::visit([](const auto& l) -> const LearnResult& { return l.result(); }, held_);
    }
    [[nodiscard]] const RangeStore& store() const noexcept {
        return std::visit([](const auto& l) -> const RangeStore& { return l.store(); }, held_);
    }

private:
    std::variant<RangeLearn, OwnLearn> held_;
};

/// The built-in learn as a function like any other.
[[nodiscard]] LearnFunction as_function(RangeLearn learn);

}  // namespace twintrack::control
