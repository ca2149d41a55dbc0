// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/closed_stop.hpp"
#include "twintrack/control/controller.hpp"
#include "twintrack/control/key_on_test.hpp"
#include "twintrack/control/learn_limits.hpp"
#include "twintrack/control/learn_parameters.hpp"
#include "twintrack/control/pid.hpp"
#include "twintrack/control/power.hpp"
#include "twintrack/core/describe.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::control {

const Description& description(Tag<ClosedStopParameters>) {
    using P = ClosedStopParameters;
    static const Description described =
        describe<P>({{&P::enabled, "enabled", "", "the closed stop is followed"},
                     {&P::rate, "rate", "1/s", "fastest change, share of travel per second", {0.0, 1.0}},
                     {&P::limit, "limit", "", "largest change, share of travel", {0.0, 0.2}},
                     {&P::duty, "duty", "", "duty that counts as pushing", {0.01, 1.0}},
                     {&P::time, "time", "s", "time without movement", {0.01, 60.0}}});
    return described;
}

const Description& description(Tag<PedalMapParameters>) {
    using P = PedalMapParameters;
    static const Description described =
        describe<P>({{&P::pedal, "pedal", "", "knots, share of pedal travel", {0.0, 1.0}},
                     {&P::opening, "opening", "", "demanded opening at the knots", {0.0, 1.0}}});
    return described;
}

const Description& description(Tag<ControllerParameters>) {
    using P = ControllerParameters;
    static const Description described = describe<P>(
        {{&P::pedal_map, "pedal_map", "", "pedal position to demanded opening"},
         {&P::nominal_supply, "nominal_supply", "V", "supply assumed when none is measured", {6.0, 32.0}},
         {&P::set_point_time, "set_point_time", "s", "time constant of each set-point filter", {0.0, 1.0}},
         {&P::self_check_time, "self_check_time", "s", "watch before the motor is powered", {0.0, 5.0}},
         {&P::twitch_opening, "twitch_opening", "", "key-on twitch above the default position", {0.0, 0.2}},
         {&P::twitch_time, "twitch_time", "s", "length of the key-on twitch", {0.0, 2.0}},
         {&P::duty_limit, "duty_limit", "", "largest duty", {0.05, 1.0}},
         {&P::proportional, "proportional", "V/rad", "proportional gain", {0.0, 1e6}},
         {&P::integral, "integral", "V/rad/s", "integral gain", {0.0, 1e8}},
         {&P::derivative, "derivative", "V*s/rad", "derivative gain", {0.0, 1e5}},
         {&P::integral_ratio, "integral_ratio", "", "damping optimum's ratio of the integral", {0.001, 0.5}},
         {&P::phase_margin, "phase_margin", "rad", "tuning: phase margin", {0.2, 1.4}},
         {&P::crossover, "crossover", "rad", "tuning: crossover times the small lags", {0.05, 1.2}},
         {&P::integral_time, "integral_time", "s", "tuning: proportional over integral gain", {0.001, 1e3}},
         {&P::derivative_filter, "derivative_filter", "s", "filter of the differenced derivative", {0.0, 1.0}},
         {&P::observer_pole, "observer_pole", "1/s", "observer's pole of angle and speed, 0: none", {0.0, 2000.0}},
         {&P::load_pole, "load_pole", "1/s", "observer's pole of the load", {1.0, 2000.0}},
         {&P::dead_band, "dead_band", "", "error the integral ignores, share of travel", {0.0, 0.05}},
         {&P::rest_band, "rest_band", "", "error at which the integral stops, share of travel", {0.0, 0.05}},
         {&P::rest_limit, "rest_limit", "", "error at which it starts again, share of travel", {0.0, 0.05}},
         {&P::break_away_rate, "break_away_rate", "V/s", "growth of the push on a blade that stands off", {0.0, 1e4}},
         {&P::set_point_speed, "set_point_speed", "1/s", "fastest set point, share of travel a second", {0.1, 1e6}},
         {&P::windup, "windup", "", "integral while the voltage is limited"},
         {&P::feed_forward, "feed_forward", "", "feed-forward of springs, friction and back-EMF"},
         {&P::self_test, "self_test", "", "test of default position and springs at key-on"},
         {&P::closed_stop, "closed_stop", "", "following of the closed stop while running"}});
    return described;
}

const Description& description(Tag<SelfTestParameters>) {
    using P = SelfTestParameters;
    static const Description described =
        describe<P>({{&P::enabled, "enabled", "", "the test is made"},
                     {&P::tolerance, "tolerance", "", "about the default position, share of travel", {0.001, 0.5}},
                     {&P::twitch_opening, "twitch_opening", "", "twitch above the default position", {0.0, 0.3}},
                     {&P::twitch_time, "twitch_time", "s", "length of the twitch", {0.01, 5.0}},
                     {&P::return_time, "return_time", "s", "time the springs have after the twitch", {0.01, 5.0}}});
    return described;
}

const Description& description(Tag<LearnLimits>) {
    using P = LearnLimits;
    static const Description described = describe<P>(
        {{&P::throttle_span_least,
          "throttle_span_least",
          "",
          "least span of throttle track 1 of full scale",
          {0.02, 1}},
         {&P::pedal_span_least, "pedal_span_least", "", "least span of pedal track 1 of full scale", {0.02, 1}},
         {&P::second_span_least, "second_span_least", "", "least span of any other track of full scale", {0.02, 1}},
         {&P::closing_move_most, "closing_move_most", "", "largest movement when closing, of full scale", {0.01, 1}},
         {&P::band_margin, "band_margin", "", "room between learned ends and electrical band", {0.0, 0.4}},
         {&P::gap_most, "gap_most", "", "largest part of the travel without a reading", {0.0, 1.0}},
         {&P::turn_back_most, "turn_back_most", "", "share of span a curve may run backwards", {0.0, 1.0}},
         {&P::bend_most, "bend_most", "", "share of span a curve may leave line or knee", {0.0, 1.0}},
         {&P::alike_least, "alike_least", "", "two tracks nearer than this are one, of full scale", {0.0, 0.5}},
         {&P::default_opening_most, "default_opening_most", "", "highest default position, of travel", {0.0, 1.0}},
         {&P::default_opening_least, "default_opening_least", "", "lowest default position off the stop", {0.0, 1.0}},
         {&P::default_mismatch_most, "default_mismatch_most", "", "tracks at the default position, of travel", {0, 1}},
         {&P::default_repeat_most,
          "default_repeat_most",
          "",
          "default position from below and above, of travel",
          {0, 1}},
         {&P::return_time_most, "return_time_most", "s", "longest return from the open stop", {0.01, 60.0}},
         {&P::noise_most, "noise_most", "", "largest rms noise of a track at rest, of full scale", {0.0, 1.0}},
         {&P::press_agreement, "press_agreement", "", "largest difference of the presses, of span", {0.001, 1.0}},
         {&P::pedal_rises, "pedal_rises", "", "the first pedal track must rise when pressed"}});
    return described;
}

const Description& description(Tag<LearnParameters>) {
    using P = LearnParameters;
    static const Description described = describe<P>(
        {{&P::nominal_supply, "nominal_supply", "V", "supply the duties are meant for", {6.0, 32.0}},
         {&P::supply_least, "supply_least", "V", "lowest supply for a learn", {0.0, 32.0}},
         {&P::supply_most, "supply_most", "V", "highest supply for a learn", {0.0, 64.0}},
         {&P::closing_duty, "closing_duty", "", "largest duty toward the closed stop", {0.01, 1.0}},
         {&P::opening_duty, "opening_duty", "", "largest duty toward the open stop", {0.01, 1.0}},
         {&P::sweep_rate, "sweep_rate", "1/s", "speed of the sweep, share of full scale per second", {0.01, 2.0}},
         {&P::settle_time, "settle_time", "s", "time without movement that counts as arrived", {0.01, 5.0}},
         {&P::still_band, "still_band", "", "what counts as no movement, share of full scale", {0.0005, 0.2}},
         {&P::step_limit, "step_limit", "s", "longest time any step may take", {0.1, 600.0}},
         {&P::presses, "presses", "", "full presses asked of the foot", {1.0, 2.0}},
         {&P::band_low, "band_low", "", "lower end of the electrical band, share of full scale", {0.0, 0.5}},
         {&P::band_high, "band_high", "", "upper end of the electrical band, share of full scale", {0.5, 1.0}},
         {&P::limits, "limits", "", "what the learn believes"}});
    return described;
}

const Description& description(Tag<PidParameters>) {
    using P = PidParameters;
    static const Description described =
        describe<P>({{&P::proportional, "proportional", "V/rad", "proportional gain", {0.0, 1e6}},
                     {&P::integral, "integral", "V/rad/s", "integral gain", {0.0, 1e8}},
                     {&P::derivative, "derivative", "V*s/rad", "derivative gain", {0.0, 1e5}},
                     {&P::derivative_filter, "derivative_filter", "s", "filter of the derivative", {0.0, 1.0}},
                     {&P::dead_band, "dead_band", "rad", "error the integral part ignores", {0.0, 0.1}},
                     {&P::limit, "limit", "V", "largest output", {0.0, 1e9}}});
    return described;
}

void check(const SelfTestParameters& p, const std::string& path) {
    if (p.twitch_opening <= p.tolerance)
        throw InvalidParameter(path + ".twitch_opening", "must go beyond tolerance (" + std::to_string(p.tolerance) +
                                                             "); got " + std::to_string(p.twitch_opening));
}

const Description& description(Tag<PowerParameters>) {
    using P = PowerParameters;
    static const Description described = describe<P>(
        {{&P::enabled, "enabled", "", "the controller lives on what its supply pin gets"},
         {&P::reset_voltage, "reset_voltage", "V", "supply below which the controller is in reset", {0.0, 36.0}},
         {&P::release_voltage, "release_voltage", "V", "supply at which it boots again", {0.0, 36.0}},
         {&P::drop_out, "drop_out", "V", "lost in the regulator of the internal supply", {0.0, 5.0}},
         {&P::buffer_slew, "buffer_slew", "V/s", "by which the buffer capacitor discharges", {1.0, 1e6}},
         {&P::boot_time, "boot_time", "s", "from enough supply to the first controller tick", {0.0, 10.0}},
         {&P::after_run, "after_run", "s", "awake after the key is turned off", {0.0, 3600.0}}});
    return described;
}

}  // namespace twintrack::control
