// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <string>
#include <string_view>

#include "twintrack/core/time.hpp"
#include "twintrack/monitor/reaction.hpp"

namespace twintrack::monitor {

/// A code of SAE J2012 / ISO 15031-6 with its failure-type byte (J2012-DA), read from public lists of the standard;
/// which type goes with which check is this bench's own choice. The texts are constants.
struct TroubleCode {
    std::string_view code;          ///< "P2135"
    std::string_view failure_type;  ///< two hex digits, "62" signal compare failure; empty: an event (event.hpp)
    std::string_view meaning;       ///< generic definition
    Time confirmed{};               ///< since key-on

    [[nodiscard]] std::string text() const {
        return failure_type.empty() ? std::string(code) : std::string(code).append("-").append(failure_type);
    }
};

enum class Assembly { pedal, throttle };

/// Tracks count from 0; the standard letters them A, B, C at the throttle and D, E, F at the pedal. Beyond the third
/// track: std::out_of_range.
[[nodiscard]] TroubleCode range_low(Assembly a, std::size_t track);   ///< P0122 … P2132, type 16 below threshold
[[nodiscard]] TroubleCode range_high(Assembly a, std::size_t track);  ///< P0123 … P2133, type 17 above threshold
/// P2135 … P2140, type 62 signal compare; `first` < `second`.
[[nodiscard]] TroubleCode correlation(Assembly a, std::size_t first, std::size_t second);
[[nodiscard]] TroubleCode rate_impossible(Assembly a, std::size_t track);  ///< P0121 … P2131, type 27 rate above
[[nodiscard]] TroubleCode track_stuck(Assembly a, std::size_t track);      ///< P0121 … P2131, type 26 rate below
[[nodiscard]] TroubleCode track_outvoted(Assembly a, std::size_t track);   ///< P0121 … P2131, type 62 signal compare
[[nodiscard]] TroubleCode stop_drifted(Assembly a, std::size_t track);     ///< P2109 … P2117, type 28 bias level
[[nodiscard]] TroubleCode blind(Assembly a);                               ///< P0120, P2120, type 29 signal invalid
[[nodiscard]] TroubleCode deviation();    ///< P2101, type 77 commanded position not reachable
[[nodiscard]] TroubleCode not_learned();  ///< P2176, type 54 missing calibration
/// The learned record's checksum does not hold: P0603 (keep-alive memory), type 41 general checksum failure (the type
/// from memory).
[[nodiscard]] TroubleCode memory_damaged();
/// The learned record is none of this controller's: P0602 (programming), type 56 invalid configuration (from memory).
[[nodiscard]] TroubleCode memory_foreign();
[[nodiscard]] TroubleCode default_wrong();    ///< P2119, type 75 emergency position: the key-on test found it elsewhere
[[nodiscard]] TroubleCode no_twitch();        ///< P2112, type 73 stuck closed: the motor did not move it
[[nodiscard]] TroubleCode no_return();        ///< P2111, type 72 stuck open: the springs did not take the twitch back
[[nodiscard]] TroubleCode not_closing();      ///< P2111, type 77: without power it stays where it was
[[nodiscard]] TroubleCode motor_open();       ///< P2100, type 13 circuit open
[[nodiscard]] TroubleCode motor_overload();   ///< P2118, type 19 current above threshold
[[nodiscard]] TroubleCode motor_stalled();    ///< P2101, type 71 actuator stuck
[[nodiscard]] TroubleCode motor_against();    ///< P2101, type 64 signal plausibility
[[nodiscard]] TroubleCode motor_to_ground();  ///< P2102, type 11 circuit short to ground
[[nodiscard]] TroubleCode motor_to_battery();  ///< P2103, type 12 circuit short to battery
[[nodiscard]] TroubleCode motor_shorted();     ///< P2118, type 1A circuit resistance below threshold
[[nodiscard]] TroubleCode motor_hot();         ///< P2118, type 4B over temperature
[[nodiscard]] TroubleCode supply_lost();       ///< P0560, type 16: it was too low for the controller to run
[[nodiscard]] TroubleCode supply_unstable();   ///< P0561, type 2F signal erratic
/// P2106 limited power, P2104 idle, P2110 limited RPM (motor off), P2105 engine shutdown; type 00 no further
/// information (from memory). std::out_of_range for no reaction.
[[nodiscard]] TroubleCode forced_mode(Reaction reaction);
[[nodiscard]] TroubleCode supply_low();   ///< P0562, type 16
[[nodiscard]] TroubleCode supply_high();  ///< P0563, type 17
/// P0642, P0643 of the pedal (reference A), P0652, P0653 of the throttle (B), types 16 and 17; which is which is this
/// bench's own choice.
[[nodiscard]] TroubleCode reference_low(Assembly a);
[[nodiscard]] TroubleCode reference_high(Assembly a);
[[nodiscard]] TroubleCode brake_and_pedal();  ///< P2299, type 64
[[nodiscard]] TroubleCode brake_low();        ///< P0572, type 16
[[nodiscard]] TroubleCode brake_high();       ///< P0573, type 17
[[nodiscard]] TroubleCode idle_switch();      ///< P0510, type 64: the closed-throttle switch, here at the pedal
[[nodiscard]] TroubleCode high_air_flow();    ///< P2173, type 64
[[nodiscard]] TroubleCode idle_system();      ///< P0505, type 92
[[nodiscard]] TroubleCode idle_low();         ///< P0506, type 92
[[nodiscard]] TroubleCode idle_high();        ///< P0507, type 92

}  // namespace twintrack::monitor
