// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <utility>
#include <vector>

#include "twintrack/control/signals.hpp"
#include "twintrack/core/described.hpp"
#include "twintrack/monitor/reaction.hpp"
#include "twintrack/monitor/trouble_code.hpp"

namespace twintrack::monitor {

enum class CodeState {
    absent,     ///< never set, or cleared
    pending,    ///< its condition is there and not yet confirmed
    confirmed,  ///< and still in force
    healed      ///< confirmed once; the condition has gone
};

constexpr std::array<std::pair<CodeState, const char*>, 4> names(Tag<CodeState>) {
    using S = CodeState;
    return {{{S::absent, "absent"}, {S::pending, "pending"}, {S::confirmed, "confirmed"}, {S::healed, "healed"}}};
}

/// All signals of the tick that first confirmed a code, as they were before the reaction to it.
struct FreezeFrame {
    control::Input input;
    control::Command command;  ///< of the tick before
    Reaction reaction = Reaction::none;
};

struct FaultEntry {
    TroubleCode code;  ///< `confirmed`: the first time
    CodeState state = CodeState::absent;
    int count = 0;        ///< how often it was confirmed
    Time last{};          ///< when it was confirmed last, since that key-on
    Time healed{};        ///< when it healed last
    int good_cycles = 0;  ///< key cycles since, in which it was not confirmed
    std::optional<FreezeFrame> frame{};
};

/// The codes a controller can set and the events it can report (event.hpp), and what became of each. It outlives the
/// key: carry it from one key-on to the next.
///
/// Clearing: `clear` forgets everything but what is confirmed and in force; that stays until the key is off, as the
/// reaction does. A code that was not confirmed for `forget_cycles` key cycles in a row is forgotten by itself (40
/// warm-up cycles: from memory). The first freeze-frame stays until its code is forgotten. No allocation after the
/// codes are added.
class FaultMemory {
public:
    static constexpr int forget_cycles = 40;

    /// Returns the place of the code: the one it has already, or a new one.
    std::size_t add(TroubleCode code);

    void pending(std::size_t place, bool there) noexcept;
    void confirm(std::size_t place, Time now, const FreezeFrame& frame) noexcept;
    void heal(std::size_t place, Time now) noexcept;

    /// By command.
    void clear() noexcept;
    /// Everything, also what is in force.
    void forget() noexcept;
    /// The key has been turned off.
    void key_off() noexcept;

    [[nodiscard]] const std::vector<FaultEntry>& entries() const noexcept { return entries_; }

    /// What the reactions forced, beside the faults that called for them: a code for each (forced_mode()), mildest
    /// first, from add_modes() on.
    void add_modes();
    void enter(Reaction mode, Time now, const FreezeFrame& frame) noexcept;
    void leave(Reaction mode, Time now) noexcept;
    [[nodiscard]] const std::vector<FaultEntry>& modes() const noexcept { return modes_; }

private:
    std::vector<FaultEntry> entries_, modes_;
};

}  // namespace twintrack::monitor
