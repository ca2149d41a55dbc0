// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/control/signals.hpp"
#include "twintrack/core/described.hpp"

namespace twintrack::monitor {

/// What follows once a fault is confirmed: a ladder, mildest first.
enum class Reaction {
    none,       ///< nothing is lost
    limited,    ///< on the tracks that are left, the lower of two, with limited demand and slope
    idle,       ///< the foot is not listened to
    motor_off,  ///< the motor without power, the blade on its springs, the engine's speed limited by cutting fuel
    engine_off  ///< neither motor nor fuel
};

constexpr std::array<std::pair<Reaction, const char*>, 5> names(Tag<Reaction>) {
    using R = Reaction;
    return {{{R::none, "none"},
             {R::limited, "limited"},
             {R::idle, "idle"},
             {R::motor_off, "motor off"},
             {R::engine_off, "engine off"}}};
}

/// What a rung of the ladder orders.
struct Action {
    double demand_limit = 1.0;  ///< [share of travel] the demand must not exceed it; 0: idle
    double slope_limit = 0.0;   ///< [1/s] nor rise faster; 0: no limit
    bool lowest_track = false;  ///< of a pedal's tracks the lowest counts
    bool motor_permitted = true;
    double speed_limit = 0.0;  ///< [rad/s] of the engine, held by cutting fuel; 0: no limit
    bool fuel_permitted = true;
};

[[nodiscard]] const Description& description(Tag<Action>);

/// The rungs above "none". The limits of demand, slope and speed are common practice, no source; 1,500 1/min lies in
/// the 1,200 to 2,000 that the published three-level concept is remembered with (from memory).
struct Ladder {
    Action limited{.demand_limit = 0.30, .slope_limit = 0.5, .lowest_track = true};
    Action idle{.demand_limit = 0.0, .lowest_track = true};
    Action motor_off{.demand_limit = 0.0, .lowest_track = true, .motor_permitted = false, .speed_limit = 157.0};
    Action engine_off{.demand_limit = 0.0, .lowest_track = true, .motor_permitted = false, .fuel_permitted = false};

    [[nodiscard]] const Action& of(Reaction r) const noexcept {
        static constexpr Action nothing{};
        return r == Reaction::limited      ? limited
               : r == Reaction::idle       ? idle
               : r == Reaction::motor_off  ? motor_off
               : r == Reaction::engine_off ? engine_off
                                           : nothing;
    }
};

[[nodiscard]] const Description& description(Tag<Ladder>);

/// Gives the controller its orders.
inline void order(const Action& a, control::Input& in) noexcept {
    in.demand_limit = a.demand_limit;
    in.demand_slope = a.slope_limit;
    in.lowest_track = a.lowest_track;
    in.motor_permitted = a.motor_permitted;
}

}  // namespace twintrack::monitor
