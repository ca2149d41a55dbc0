// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "twintrack/control/unit.hpp"
#include "twintrack/monitor/monitor.hpp"

namespace twintrack::monitor {

/// What a monitor of one's own answers at a tick.
struct MonitorAnswer {
    Reaction reaction = Reaction::none;
    std::vector<std::string> codes{};  ///< in force now, such as "P2135-62"; one that is missing has healed
    std::optional<Action> orders{};    ///< absent: what the bench's ladder has for the reaction
    control::Trust pedal_trust{true, true, true};
    control::Trust throttle_trust{true, true, true};
};

/// A monitor of any making: the samples of the tick and the command of the tick before → what follows. Under the same
/// rule of copies as a controller (control/unit.hpp).
using MonitorFunction = std::function<MonitorAnswer(const control::Input&, const control::Command& last)>;

/// What is wrong with an answer, in one sentence. A code is 1 to 32 letters, digits, blanks, "-", "_" and ":"; limits
/// of demand are 0 … 1, those of slope and speed 0 or more.
[[nodiscard]] std::optional<std::string> unusable(const MonitorAnswer& answer);

/// The stricter of two orders in every respect.
[[nodiscard]] Action stricter(const Action& a, const Action& b) noexcept;

/// A code by its text ("P2135-62", or a name of the user's), with the meaning the standard's code has here, if any. A
/// text is kept until the process ends, since codes outlive the case that set them. InvalidParameter beyond
/// `most_texts` different ones.
[[nodiscard]] TroubleCode code_of(const std::string& text);
inline constexpr std::size_t most_texts = 10000;

/// A monitor of one's own with what every monitor needs around it: ladder, list of codes, fault memory.
class OwnMonitor {
public:
    using Make = std::function<MonitorFunction()>;

    /// `again` makes another one after each reset of the controller: what was counted is lost then, codes stay. Without
    /// it the function is kept.
    OwnMonitor(MonitorFunction step, const Ladder& ladder, FaultMemory history = {}, Make again = {});

    /// UnitFailure for an answer that cannot be used, and for what the function throws.
    Reaction step(const control::Input& in, const control::Command& last);
    /// What is ordered once `in_force` is: its own orders, made stricter where the bench's other watchers ask for more.
    [[nodiscard]] Action action(Reaction in_force) const noexcept;
    void trust(control::Input& in) const noexcept;
    void report(Reaction in_force) noexcept;
    void note(Event e);
    void reboot(Time now, bool starved);
    [[nodiscard]] const std::vector<TroubleCode>& codes() const noexcept { return codes_; }
    [[nodiscard]] const FaultMemory& history() const noexcept { return memory_; }

private:
    void set(const std::string& text);
    void heal() noexcept;

    struct Held {
        std::string text;
        std::size_t place;  ///< in the memory
        bool said;          ///< at this tick
    };

    MonitorFunction step_;
    Make again_;
    Ladder ladder_;
    FaultMemory memory_;
    MonitorAnswer answer_;
    FreezeFrame frame_;
    std::vector<Held> in_force_;
    std::vector<Event> noted_;
    std::vector<TroubleCode> codes_;
    Reaction reported_ = Reaction::none;
};

/// The monitor of a bench: the built-in one or one's own.
class MonitorUnit {
public:
    MonitorUnit(Monitor built_in) : held_(std::move(built_in)) {}
    MonitorUnit(OwnMonitor own) : held_(std::move(own)) {}

    Reaction step(const control::Input& in, const control::Command& last) {
        return std::visit([&](auto& m) { return m.step(in, last); }, held_);
    }
    /// What is ordered once `in_force` is.
    [[nodiscard]] Action action(Reaction in_force) const noexcept {
        return std::visit([&](const auto& m) { return m.action(in_force); }, held_);
    }
    /// Which tracks the controller may believe.
    void trust(control::Input& in) const noexcept {
        std::visit([&](const auto& m) { m.trust(in); }, held_);
    }
    void report(Reaction in_force) noexcept {
        std::visit([&](auto& m) { m.report(in_force); }, held_);
    }
    void note(Event e) {
        std::visit([&](auto& m) { m.note(e); }, held_);
    }
    void reboot(Time now, bool starved) {
        std::visit([&](auto& m) { m.reboot(now, starved); }, held_);
    }
    [[nodiscard]] const std::vector<TroubleCode>& codes() const noexcept {
        return std::visit([](const auto& m) -> const std::vector<TroubleCode>& { return m.codes(); }, held_);
    }
    [[nodiscard]] const FaultMemory& history() const noexcept {
        return std::visit([](const auto& m) -> const FaultMemory& { return m.history(); }, held_);
    }

private:
    std::variant<Monitor, OwnMonitor> held_;
};

/// The built-in monitor as a function like any other. Its codes are those it has confirmed since key-on.
[[nodiscard]] MonitorFunction as_function(Monitor monitor);

}  // namespace twintrack::monitor
