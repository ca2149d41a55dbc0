// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/monitor/debounce.hpp"
#include "twintrack/monitor/fault_memory.hpp"
#include "twintrack/monitor/reaction_table.hpp"

namespace twintrack::monitor {

/// Everything that is watched: each condition with its debouncing, its code and what became of it.
class DebouncedChecks {
public:
    explicit DebouncedChecks(Time period, FaultMemory memory = {}) : period_(period), memory_(std::move(memory)) {}

    /// A condition to watch; returns its number. `side`: 0 pedal, 1 throttle; absent: neither.
    std::size_t add(Check check, std::optional<Assembly> side, const CheckParameters& p, TroubleCode code);

    /// The tick from now on: its time and signals.
    void begin(const control::Input& in, const control::Command& last, Reaction reaction) noexcept;
    /// Whether the condition is confirmed. What is not enabled never is.
    bool step(std::size_t number, bool condition) noexcept {
        DebouncedCheck& w = list_[number];
        return (condition || !w.at_rest) && count(w, condition);
    }
    /// A fact that needs no debouncing; it stays.
    void state(std::size_t number) noexcept;

    /// An entry of the memory without a code; returns its place.
    std::size_t add_event(TroubleCode entry) { return memory_.add(std::move(entry)); }
    /// It has happened at this tick, or is over.
    void happened(std::size_t place) noexcept { memory_.confirm(place, frame_.input.time, frame_); }
    void over(std::size_t place) noexcept { memory_.heal(place, frame_.input.time); }

    [[nodiscard]] bool confirmed(std::size_t number) const noexcept { return list_[number].confirmed; }
    /// Another good tick changes nothing.
    [[nodiscard]] bool at_rest(std::size_t number) const noexcept { return list_[number].at_rest; }
    /// It cannot change any more: it is not enabled, or confirmed until key-off.
    [[nodiscard]] bool spent(std::size_t number) const noexcept {
        const DebouncedCheck& w = list_[number];
        return !w.enabled || (w.confirmed && (stated(w) || w.debounce.latched()));
    }
    /// Nothing that is confirmed can heal.
    [[nodiscard]] bool lasting() const noexcept;
    /// The condition of this one may last between two calls.
    void may_last(std::size_t number) noexcept { list_[number].may_last = true; }
    /// It does: a timer that runs.
    [[nodiscard]] bool timer_runs(std::size_t number) const noexcept { return timer_runs(list_[number]); }
    /// The tick from now at which the first of those confirms.
    [[nodiscard]] std::int64_t confirms_in() const noexcept;
    /// As `ticks` at which what is held lasted and every other condition that is not spent was false; only while
    /// lasting().
    void pass(std::int64_t ticks) noexcept;
    /// Every check that is confirmed, by check and side.
    void tell(Findings& findings) noexcept;

    /// As at a key-on with nothing in the memory.
    void restart() noexcept;
    /// What was counted is lost; the codes stay.
    void reboot(Time now) noexcept;

    /// The forced modes in the memory.
    void add_modes() { memory_.add_modes(); }
    void enter(Reaction mode) noexcept { memory_.enter(mode, frame_.input.time, frame_); }
    void leave(Reaction mode) noexcept { memory_.leave(mode, frame_.input.time); }

    [[nodiscard]] const FaultMemory& memory() const noexcept { return memory_; }
    void clear() noexcept { memory_.clear(); }
    /// Each code once, in the order of first confirmation.
    [[nodiscard]] const std::vector<TroubleCode>& codes() const noexcept { return codes_; }

private:
    struct DebouncedCheck {
        Check check;
        std::optional<Assembly> side;
        bool enabled;
        Debounce debounce;
        std::size_t place;  ///< in the memory
        bool confirmed = false;
        bool at_rest = true;  ///< another good tick changes nothing
        bool may_last = false;
    };
    [[nodiscard]] static bool stated(const DebouncedCheck& w) noexcept {
        return w.confirmed && !w.debounce.confirmed();
    }
    [[nodiscard]] static bool timer_runs(const DebouncedCheck& w) noexcept {
        return w.enabled && w.may_last && w.debounce.runs();
    }
    bool count(DebouncedCheck& w, bool condition) noexcept;
    void confirm(DebouncedCheck& w) noexcept;

    Time period_;
    FaultMemory memory_;
    std::vector<DebouncedCheck> list_;
    std::vector<TroubleCode> codes_;
    std::vector<bool> listed_;  ///< by place
    int in_force_ = 0;          ///< watches that are confirmed
    bool changed_ = false;      ///< what tell() reports of them
    Findings::Confirmed confirmed_{};
    FreezeFrame frame_;
};

}  // namespace twintrack::monitor
