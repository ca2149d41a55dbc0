// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/describe.hpp"
#include "twintrack/monitor/blade_checks.hpp"
#include "twintrack/monitor/check.hpp"
#include "twintrack/monitor/correlation.hpp"
#include "twintrack/monitor/function_monitor.hpp"
#include "twintrack/monitor/idle_speed.hpp"
#include "twintrack/monitor/parameters.hpp"
#include "twintrack/monitor/reaction.hpp"
#include "twintrack/monitor/reaction_table.hpp"
#include "twintrack/monitor/shutdown_device.hpp"
#include "twintrack/monitor/surroundings.hpp"
#include "twintrack/monitor/track_checks.hpp"

namespace twintrack::monitor {

const Description& description(Tag<MotionParameters>) {
    using P = MotionParameters;
    static const Description described = describe<P>(
        {{&P::open_voltage, "open_voltage", "V", "voltage at which current must flow", {0.1, 36.0}},
         {&P::open_current, "open_current", "A", "less than that is no current", {0.0, 10.0}},
         {&P::most_current, "most_current", "A", "largest lasting current", {0.1, 200.0}},
         {&P::stalled_duty, "stalled_duty", "", "duty that must move the blade", {0.01, 1.0}},
         {&P::still, "still", "", "share of travel that counts as no movement", {1e-4, 0.5}},
         {&P::blocked_voltage, "blocked_voltage", "V", "voltage that must move the blade", {0.1, 36.0}},
         {&P::blocked_current, "blocked_current", "A", "current that must move the blade", {0.0, 200.0}},
         {&P::held_voltage, "held_voltage", "V", "voltage that must close the blade", {0.1, 36.0}},
         {&P::held_error, "held_error", "", "share of travel above the set point that is too much then", {1e-3, 1.0}},
         {&P::against_duty, "against_duty", "", "duty that the blade must not run against", {0.01, 1.0}},
         {&P::against_speed, "against_speed", "1/s", "speed against the drive, share of travel", {0.01, 100.0}},
         {&P::open, "open", "", "volts and no current"},
         {&P::overload, "overload", "", "too much current"},
         {&P::stalled, "stalled", "", "drive and no movement"},
         {&P::blocked, "blocked", "", "volts and current and no movement"},
         {&P::against, "against", "", "movement against the drive"}});
    return described;
}

const Description& description(Tag<CheckParameters>) {
    using P = CheckParameters;
    static const Description described =
        describe<P>({{&P::enabled, "enabled", "", "check is made"},
                     {&P::confirm_time, "confirm_time", "s", "time a fault must persist", {0.0, 60.0}},
                     {&P::heal_time, "heal_time", "s", "time without fault that heals", {0.0, 600.0}},
                     {&P::latch, "latch", "", "confirmed until the key is turned off"},
                     {&P::counting, "counting", "", "how bad ticks are counted"}});
    return described;
}

const Description& description(Tag<VoltsLine>) {
    using P = VoltsLine;
    static const Description described =
        describe<P>({{&P::enabled, "enabled", "", "the second track is held against the first"},
                     {&P::offset, "offset", "V", "of the line", {-12.0, 12.0}},
                     {&P::slope, "slope", "", "of the line", {-10.0, 10.0}}});
    return described;
}

const Description& description(Tag<VoltsParameters>) {
    using P = VoltsParameters;
    static const Description described =
        describe<P>({{&P::pedal, "pedal", "", "of the pedal"},
                     {&P::throttle, "throttle", "", "of the throttle"},
                     {&P::limit, "limit", "V", "largest distance from the line", {0.0, 12.0}},
                     {&P::check, "check", "", "debouncing"}});
    return described;
}

const Description& description(Tag<IdleSpeedParameters>) {
    using P = IdleSpeedParameters;
    static const Description described = describe<P>(
        {{&P::above, "above", "rad/s", "idle speed permitted above its goal", {0.1, 1000.0}},
         {&P::below, "below", "rad/s", "idle speed permitted below its goal", {0.1, 1000.0}},
         {&P::off_target, "off_target", "rad/s", "distance from the goal that must not last", {0.1, 1000.0}},
         {&P::coolant, "coolant", "degC", "coolant temperature from which it is looked at", {-60.0, 200.0}},
         {&P::pedal_released, "pedal_released", "", "pedal travel of a foot off", {0.0, 0.5}},
         {&P::start_delay, "start_delay", "s", "time the engine must have run", {0.0, 600.0}},
         {&P::release_delay, "release_delay", "s", "time the foot must have been off", {0.0, 600.0}},
         {&P::low, "low", "", "speed lower than expected"},
         {&P::high, "high", "", "speed higher than expected"},
         {&P::system, "system", "", "off its goal or without room, up and down"}});
    return described;
}

const Description& description(Tag<MonitorParameters>) {
    using P = MonitorParameters;
    static const Description described = describe<P>(
        {{&P::band_low, "band_low", "", "lower end of the electrical band", {0.0, 0.5}},
         {&P::band_high, "band_high", "", "upper end of the electrical band", {0.5, 1.0}},
         {&P::correlation_limit,
          "correlation_limit",
          "",
          "largest disagreement of two tracks, share of travel",
          {0.0, 1.0}},
         {&P::deviation_limit,
          "deviation_limit",
          "",
          "largest distance of blade and set point, share of travel",
          {0.0, 1.0}},
         {&P::range, "range", "", "range check"},
         {&P::correlation, "correlation", "", "correlation check"},
         {&P::blind, "blind", "", "no track of an assembly that can be believed, added up"},
         {&P::deviation, "deviation", "", "deviation check"},
         {&P::not_closing, "not_closing", "", "a blade that does not come back without power"},
         {&P::volts_band, "volts_band", "", "range check in volts"},
         {&P::volts, "volts", "", "correlation check in volts"},
         {&P::rate, "rate", "", "change faster than possible"},
         {&P::stuck, "stuck", "", "a track stands while its partner moves"},
         {&P::drift, "drift", "", "a track beyond its learned ends"},
         {&P::motion, "motion", "", "drive against current and movement"},
         {&P::return_spring, "return_spring", "", "blade without power not at its default"},
         {&P::default_position, "default_position", "", "the same at key-on"},
         {&P::supply, "supply", "", "supply of the controller"},
         {&P::reference, "reference", "", "supply of the sensors"},
         {&P::electronics, "electronics", "", "controller's resets and motor bridge"},
         {&P::brake, "brake", "", "brake against throttle, and its sensor"},
         {&P::idle_switch, "idle_switch", "", "idle switch against pedal tracks"},
         {&P::air_flow, "air_flow", "", "air flow against opening"},
         {&P::idle_speed, "idle_speed", "", "idle speed against its goal"},
         {&P::fallback, "fallback", "", "a track that looks bad is left out at once"},
         {&P::fallback_time, "fallback_time", "s", "time a track must look good to be believed again", {0.0, 10.0}},
         {&P::function_monitor, "function_monitor", "", "the second, independent function monitor"},
         {&P::device, "device", "", "the independent device of the competition rules"},
         {&P::motor_off_by, "motor_off_by", "", "how the motor is switched off"},
         {&P::ladder, "ladder", "", "what each reaction orders"},
         {&P::reactions, "reactions", "", "what follows from which check", {0.0, 99.0}}});
    return described;
}

const Description& description(Tag<Action>) {
    using P = Action;
    static const Description described = describe<P>(
        {{&P::demand_limit, "demand_limit", "", "largest demand, share of travel", {0.0, 1.0}},
         {&P::slope_limit, "slope_limit", "1/s", "fastest rise of the demand; 0: no limit", {0.0, 1e3}},
         {&P::lowest_track, "lowest_track", "", "of a pedal's tracks the lowest counts"},
         {&P::motor_permitted, "motor_permitted", "", "the motor may have power"},
         {&P::speed_limit, "speed_limit", "rad/s", "engine speed held by cutting fuel; 0: no limit", {0.0, 2e3}},
         {&P::fuel_permitted, "fuel_permitted", "", "the engine may have fuel"}});
    return described;
}

const Description& description(Tag<Ladder>) {
    using P = Ladder;
    static const Description described = describe<P>({{&P::limited, "limited", "", "on the tracks that are left"},
                                                      {&P::idle, "idle", "", "the foot is not listened to"},
                                                      {&P::motor_off, "motor_off", "", "the blade on its springs"},
                                                      {&P::engine_off, "engine_off", "", "neither motor nor fuel"}});
    return described;
}

const Description& description(Tag<ReactionRow>) {
    using P = ReactionRow;
    static const Description described = describe<P>(
        {{&P::check, "check", "", "entered when this is confirmed"},
         {&P::side, "side", "", "of which assembly"},
         {&P::left, "left", "", "only while no more tracks than this are sound", {0.0, 3.0}},
         {&P::reaction, "reaction", "", "what follows"},
         {&P::exit, "exit", "", "when it ends, once the check is healed"},
         {&P::exit_time, "exit_time", "s", "time of the exit", {0.0, 600.0}},
         {&P::priority, "priority", "", "the highest decides; of equal ones the severest", {-100.0, 100.0}}});
    return described;
}

const Description& description(Tag<ShutdownDeviceParameters>) {
    using P = ShutdownDeviceParameters;
    static const Description described =
        describe<P>({{&P::enabled, "enabled", "", "there is such a device"},
                     {&P::throttle_share,
                      "throttle_share",
                      "",
                      "opening its comparator is trimmed to, share of travel",
                      {0.0, 1.0}},
                     {&P::brake_time, "brake_time", "s", "hard braking against throttle", {0.0, 60.0}},
                     {&P::signal_time, "signal_time", "s", "a signal outside its band", {0.0, 60.0}},
                     {&P::brake_low, "brake_low", "V", "band of the brake's signal", {0.0, 12.0}},
                     {&P::brake_high, "brake_high", "V", "band of the brake's signal", {0.0, 12.0}},
                     {&P::throttle_low, "throttle_low", "V", "band of the throttle's signal", {0.0, 12.0}},
                     {&P::throttle_high, "throttle_high", "V", "band of the throttle's signal", {0.0, 12.0}},
                     {&P::least_supply, "least_supply", "V", "supply below which it drops out", {0.0, 36.0}}});
    return described;
}

const Description& description(Tag<WindowParameters>) {
    using P = WindowParameters;
    static const Description described = describe<P>({{&P::low, "low", "V", "lower end", {0.0, 60.0}},
                                                      {&P::high, "high", "V", "upper end", {0.0, 60.0}},
                                                      {&P::check, "check", "", "debouncing"}});
    return described;
}

const Description& description(Tag<BrakeCheckParameters>) {
    using P = BrakeCheckParameters;
    static const Description described =
        describe<P>({{&P::opening, "opening", "", "permitted while braking, share of travel", {0.0, 1.0}},
                     {&P::band_low, "band_low", "", "lower end of the brake sensor's band", {0.0, 0.5}},
                     {&P::band_high, "band_high", "", "upper end of the brake sensor's band", {0.5, 1.0}},
                     {&P::check, "check", "", "brake against throttle"},
                     {&P::sensor, "sensor", "", "brake sensor outside its band"}});
    return described;
}

const Description& description(Tag<IdleSwitchCheckParameters>) {
    using P = IdleSwitchCheckParameters;
    static const Description described =
        describe<P>({{&P::pressed, "pressed", "", "pedal beyond which the foot cannot be off, share", {0.0, 1.0}},
                     {&P::released, "released", "", "pedal below which the foot cannot be on, share", {0.0, 1.0}},
                     {&P::check, "check", "", "debouncing"}});
    return described;
}

const Description& description(Tag<AirFlowParameters>) {
    using P = AirFlowParameters;
    static const Description described =
        describe<P>({{&P::opening, "opening", "", "knots, share of travel", {0.0, 1.0}},
                     {&P::flow, "flow", "kg/s", "choked flow at the knots", {0.0, 10.0}},
                     {&P::margin, "margin", "", "share of the flow above it", {0.0, 10.0}},
                     {&P::floor, "floor", "kg/s", "leaks and idle air", {0.0, 1.0}},
                     {&P::check, "check", "", "debouncing"}});
    return described;
}

const Description& description(Tag<VoltsBandParameters>) {
    using P = VoltsBandParameters;
    static const Description described = describe<P>({{&P::enabled, "enabled", "", "the band in volts is watched too"},
                                                      {&P::low, "low", "V", "lower end", {0.0, 12.0}},
                                                      {&P::high, "high", "V", "upper end", {0.0, 12.0}}});
    return described;
}

const Description& description(Tag<RateParameters>) {
    using P = RateParameters;
    static const Description described =
        describe<P>({{&P::limit, "limit", "1/s", "fastest change, share of travel per second", {1.0, 1e5}},
                     {&P::hold_time, "hold_time", "s", "time that a jump counts as a bad reading", {0.0, 10.0}},
                     {&P::check, "check", "", "debouncing"}});
    return described;
}

const Description& description(Tag<StuckParameters>) {
    using P = StuckParameters;
    static const Description described =
        describe<P>({{&P::still, "still", "", "share of travel that counts as no movement", {1e-4, 0.5}},
                     {&P::moved, "moved", "", "share of travel the partner must have gone", {1e-3, 1.0}},
                     {&P::check, "check", "", "debouncing"}});
    return described;
}

const Description& description(Tag<DriftParameters>) {
    using P = DriftParameters;
    static const Description described =
        describe<P>({{&P::limit, "limit", "", "share of travel beyond a learned end", {0.0, 1.0}},
                     {&P::check, "check", "", "debouncing"}});
    return described;
}

const Description& description(Tag<FunctionMonitorParameters>) {
    using P = FunctionMonitorParameters;
    static const Description described =
        describe<P>({{&P::enabled, "enabled", "", "there is a function monitor"},
                     {&P::time, "time", "s", "time a condition must last", {0.0, 10.0}},
                     {&P::lag, "lag", "s", "time the blade may follow the foot down", {0.0, 1.0}},
                     {&P::margin, "margin", "", "opening beyond what is allowed, share of travel", {0.0, 1.0}},
                     {&P::idle, "idle", "", "opening that is always allowed, share of travel", {0.0, 1.0}},
                     {&P::apart, "apart", "", "largest distance of two tracks, share of travel", {0.0, 1.0}},
                     {&P::band_low, "band_low", "", "lower end of the electrical band", {0.0, 0.5}},
                     {&P::band_high, "band_high", "", "upper end of the electrical band", {0.5, 1.0}},
                     {&P::lowest_pedal, "lowest_pedal", "", "of pedal tracks apart the smaller counts"},
                     {&P::most_current, "most_current", "A", "largest lasting current", {0.1, 200.0}},
                     {&P::no_current, "no_current", "A", "less than that is no current", {0.0, 10.0}}});
    return described;
}

namespace {

template <class P>
Description position_check() {
    return describe<P>({{&P::tolerance, "tolerance", "", "about the learned default position", {0.001, 0.5}},
                        {&P::check, "check", "", "debouncing"}});
}

}  // namespace

const Description& description(Tag<SpringParameters>) {
    static const Description described = position_check<SpringParameters>();
    return described;
}

const Description& description(Tag<DefaultParameters>) {
    static const Description described = position_check<DefaultParameters>();
    return described;
}

}  // namespace twintrack::monitor
