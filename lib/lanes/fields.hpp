// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "engine_fields.hpp"
#include "twintrack/control/position_loop.hpp"
#include "twintrack/lanes/body_step.hpp"
#include "twintrack/monitor/blade_checks.hpp"
#include "twintrack/sensing/assembly.hpp"
#include "twintrack/sensing/laws.hpp"
#include "twintrack/sensing/random_channels.hpp"

/// Everything one lane holds. Every member is a number T, also flags (0 or 1), times (whole microseconds) and the bits
/// of the noise keys: a block of N lanes is the same struct with packs, so that field f of lane k is double
/// f·N + k of the block, and a lane is filled and read without knowing the names.
namespace twintrack::lanes {

inline constexpr std::size_t most_pieces = 4;  ///< of a track's table, and of the pedal map

/// One track: sensor, filter, converter, learned range, range check's last look.
template <class T>
struct TrackFields {
    sensing::Piece<T> pieces[most_pieces];  ///< unused ones start beyond every position
    T bow, hysteresis, low, high, rest;
    T gain, offset, frozen;  ///< of the faults
    T noise;                 ///< rms, the faults' included [share of supply]
    T played, last, share;   ///< position behind the play; output without and with noise [share of supply]
    T filtered;              ///< [V]
    T volts;                 ///< [V] at the pin
    T reading, before;       ///< [share of full scale] now and at the tick before
    T start, span;           ///< learned readings
    T trusted;               ///< 1: a pedal's track is used under orders
    T there;                 ///< 1: this track exists
    T roughness, grains;     ///< amplitude of the path's grains [share of supply]; grains over the travel
    T grain, left, right;    ///< the one it is at, its value and the next one's
    T pickup;                ///< what its wire picks up of the bridge's switching [share of the supply]
    // What wakes the lane (limits.hpp).
    T jump;         ///< more than that from tick to tick
    T least, most;  ///< a reading outside
    T apart;        ///< more disagreement with the first track [share of travel]; asked where the room is left:
    T together;     ///< no more disagreement than that with the first track
    T lead, room;   ///< of the reading about the straight line lead · (first track's reading − start)
    // Of the stationary track (supervision_bounds.hpp).
    T still, partner_moved;  ///< more than that is movement [share of travel]; of the partner's reading, without it
    T own, partner;          ///< position and the partner's reading at the last movement
    T scale, zero;           ///< the function monitor's position: scale · reading + zero; scale 0: not used
};

template <class T>
struct AssemblyFields {
    TrackFields<T> tracks[sensing::max_tracks];
    T others;  ///< more disagreement of second and third track wakes the lane
};

/// What changes only at events (a knot of the stroke, a fault, a new case).
template <class T>
struct ScheduleFields {
    T period;                                      ///< [us]
    T stroke_time, stroke_span;                    ///< [s] begin and length of the present piece of the stroke
    T stroke_travel, stroke_change;                ///< travel at its begin, change over it
    T closed, travel;                              ///< nominal closed stop and travel between the stops [rad]
    T reference, battery;                          ///< [V]
    T supply_resistance, switches, limit, diodes;  ///< of the bridge
    T external_torque;                             ///< [N·m]
    T decay, full_scale, ratiometric, nominal;     ///< of filter and converter
    T key_seed, key_case;                          ///< bits of the noise keys
    T substep;                                     ///< [s]
};

inline constexpr int most_variables = 2;  ///< growing faults of the wiring, at a time
inline constexpr int most_sources = 2 * static_cast<int>(sensing::max_tracks) + 2 + most_variables;

/// The harness, where there is one; its coefficients have memory of their own (net.hpp).
template <class T>
struct WireFields {
    T there;                                       ///< 1: a harness joins the parts; 0: ideal wiring
    T fixed[most_sources], track[most_sources];    ///< [Ω] of the ratio sources
    T path_driven, path_open;                      ///< 1: a path for the motor's current, bridge driving and open
    T reference, least_reference, most_reference;  ///< [V] of the converter; at the reference pins
    T pedal_reference[sensing::max_tracks], throttle_reference[sensing::max_tracks];  ///< [V]
    T current;                                                                        ///< [A] as the bridge measures it
    T voltage, resistance, limit, open;  ///< the motor's source, as in MotorSource
};

/// What the function monitor and the independent device permit while the lane sleeps.
template <class T>
struct SupervisionFields {
    T idle, limited;                           ///< opening that is permitted always, and at most
    T margin;                                  ///< as monitor::FunctionMonitorParameters
    T foot_together, foot_apart, blade_apart;  ///< windows of how far their tracks are apart
    T half_lag, count;                         ///< [ticks]
    T best, before;                            ///< largest permitted in this half of the lag and in the one before
    T most_current;                            ///< [A]
    T volts_low, volts_high, least_supply;     ///< [V] of the first blade track and of the device
};

inline constexpr double watch_slack = 0.003;       ///< [share of travel] of the function monitor's whole thousandths
inline constexpr double far = 1e3;                 ///< a position that nothing has
inline constexpr std::int64_t count_base = 65536;  ///< converters have up to 16 bits
/// A lane's row of what it must remember of each tick; 2ⁿ.
inline constexpr int history_places = 512;
using HistoryRows = Rows<history_places>;

/// What a reaction leaves of the controller while the lane sleeps under it.
template <class T>
struct OrderFields {
    T motor_off, off_mode;  ///< 1: no power; the bridge then
    T demand_limit, least;  ///< demand that is permitted; what the pedal map says without a foot
    T slope;                ///< by which the demand may rise in a tick; 0: as fast as it likes
    T foot_by, blade_by;    ///< number of the track that leads
    T slack;                ///< of the pedal's tracks, before the lower one counts
    T sightless, footless;  ///< 1: no track of blade or pedal is used; the last position holds
};

/// The controller and the three checks, as far as they run in lanes.
template <class T>
struct ControlFields {
    control::LoopCoefficients<T> loop;
    T watch_time, run_time;              ///< [us]
    T twitch;                            ///< [share of travel]
    sensing::Piece<T> map[most_pieces];  ///< the pedal map; `slope` holds the rise over the piece
    T map_span[most_pieces];             ///< length of each piece
    OrderFields<T> orders;
    monitor::SpeedFilter<T> pace;
    T against_speed, blocked_current, held_error, open_current;
    // What wakes the lane (limits.hpp).
    T deviation_least, deviation_limit;  ///< windows: how far a blade that is driven is off its set point,
    T closing_least, closing_limit;      ///< one without power off the demand,
    T default_least, default_limit;      ///< and how far open
    T duty_limit, against_duty, blocked_voltage, held_voltage, open_voltage, most_current;
    T supply_low, supply_high, reference_low, reference_high;  ///< [V] windows
    T scalar;  ///< 1: this lane's monitor and controller are run one by one
};

template <class T>
struct LaneFields {
    ScheduleFields<T> schedule;
    AssemblyFields<T> pedal, throttle;
    ControlFields<T> control;
    BodyCoefficients<T> body;
    WireFields<T> wire;
    SupervisionFields<T> supervision;

    // What moves.
    T time;             ///< [us] of the tick that is due
    T tick;             ///< its number
    T travel, opening;  ///< true positions of pedal and blade [share]
    T supply;           ///< [V] at the controller
    T running;          ///< 1: the loop is closed
    control::LoopState<T> loop;
    T mode;                                               ///< 0 drive, 1 brake, 2 high impedance
    T duty, pedal_read, demand, set_point, opening_read;  ///< the last command
    T opening_before, pace;                               ///< as monitor::MotionCheck::Seen
    BodyState<T> state;
    // Figures.
    T error_area, largest_error, largest_opening;

    EngineFields<T> engine;
};

}  // namespace twintrack::lanes
