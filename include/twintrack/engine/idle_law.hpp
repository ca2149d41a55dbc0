// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/number.hpp"
#include "twintrack/core/time.hpp"
#include "twintrack/engine/idle_parameters.hpp"

/// The arithmetic of the idle governor (idle_governor.hpp, with the equations), on any number type. Modes are
/// numbers in the order of IdleMode; flags are 0 or 1.
namespace twintrack::engine {

template <class T>
struct IdleCoefficients {
    T period;                   ///< [s]
    T descent, fade, blend;     ///< shares per tick of the three first-order lags
    T proportional, integrate;  ///< K_p [m²·s/rad]; h K_i
    T least, most;              ///< [m²]
    T start_area, accessory_area, dashpot_area;
    T learn_time, learn_band, learn_limit;
    T base, gain, most_retard, start_retard;  ///< of the spark
    T released, pressed;                      ///< [share of pedal travel]
    T entry_band, entry_time;
    T overrun_cut, cut_above, resume_above, cut_delay;
};

template <class T>
struct IdleState {
    T mode, learned, integral, dashpot;
    T target;    ///< ω_r [rad/s]
    T idling;    ///< 1: spark by the governor, 0: best torque
    T foot_off;  ///< [s] with the foot off and the engine running
    T cut;       ///< 1: the fuel is cut on the overrun
};

/// The governor's inputs at a tick; `goal` [rad/s] and `base` A₀ [m²] by the coolant.
template <class T>
struct IdleSight {
    T speed, pedal, accessory, cranking, running, goal, base;
};

template <class T>
struct IdleAnswer {
    T area, spark_retard, fuel, authority;
};

/// Throws InvalidParameter.
[[nodiscard]] IdleCoefficients<double> idle_coefficients(const IdleParameters& p, Time period);

namespace idle {

inline constexpr double off = 0.0, starting = 1.0, idling = 2.0, driving = 3.0, overrun = 4.0;

template <class T>
[[nodiscard]] auto in_mode(const IdleState<T>& x, double mode) noexcept {
    return (x.mode > T(mode - 0.5)) & (x.mode < T(mode + 0.5));
}

/// The engine does not run.
template <class T>
void rest(IdleState<T>& x, const IdleSight<T>& in) noexcept {
    const T zero(0.0);
    const auto rests = (in.running <= zero);
    if (!any(rests)) return;
    const auto put = [&rests](T& field, T value) { field = select(rests, value, field); };
    put(x.mode, select(in.cranking > zero, T(starting), T(off)));
    put(x.integral, zero), put(x.dashpot, zero), put(x.foot_off, zero);
    put(x.idling, T(1.0)), put(x.cut, zero), put(x.target, in.goal);
}

template <class T>
void change_mode(const IdleCoefficients<T>& c, IdleState<T>& x, const IdleSight<T>& in) noexcept {
    const T zero(0.0);
    const auto was_driving = in_mode(x, driving);
    const auto runs = in.running > zero;
    const auto drives = runs & ((in.pedal > c.pressed) | (was_driving & (in.pedal > c.released)));
    const auto tips_out = runs & was_driving & !drives;
    x.foot_off = select(drives, zero, select(runs, x.foot_off + c.period, x.foot_off));
    x.mode = select(drives, T(driving), select(tips_out, T(overrun), x.mode));
    x.dashpot = select(tips_out, c.dashpot_area, x.dashpot);
    const auto near = (in.speed < in.goal + c.entry_band) | (x.foot_off >= c.entry_time);
    const auto first = in_mode(x, starting) | in_mode(x, off);
    const auto enters = runs & !drives & (first | (in_mode(x, overrun) & near));
    x.mode = select(enters, T(idling), x.mode);
    x.target = select(enters, max(in.goal, in.speed), x.target);
    rest(x, in);
}

template <class T>
[[nodiscard]] T air(const IdleCoefficients<T>& c, IdleState<T>& x, const IdleSight<T>& in, T error) noexcept {
    const T zero(0.0);
    x.dashpot = x.dashpot - c.fade * x.dashpot;
    const T known = select(in_mode(x, starting), max(c.start_area, in.base), in.base) + x.learned + x.dashpot +
                    select(in.accessory > zero, c.accessory_area, zero);
    const auto closed_loop = in_mode(x, idling);
    const T wanted = known + x.integral + select(closed_loop, c.proportional * error, zero);
    const auto stuck = ((wanted >= c.most) & (error > zero)) | ((wanted <= c.least) & (error < zero));
    const auto near = (abs(error) <= c.entry_band) | (x.foot_off >= c.entry_time);
    x.integral = select(closed_loop & near & !stuck, x.integral + c.integrate * error, x.integral);
    return clamp(wanted, c.least, c.most);
}

template <class T>
[[nodiscard]] T spark(const IdleCoefficients<T>& c, IdleState<T>& x, T error) noexcept {
    const T zero(0.0), one(1.0);
    const auto waits = in_mode(x, off) | in_mode(x, starting);
    const T governed = select(in_mode(x, driving), zero, one);
    x.idling = select(waits, x.idling, x.idling + c.blend * (governed - x.idling));
    const T retard = c.base - select(in_mode(x, idling), c.gain * error, zero);
    return select(waits, c.start_retard, x.idling * clamp(retard, zero, c.most_retard));
}

/// 0: cut.
template <class T>
[[nodiscard]] T fuel(const IdleCoefficients<T>& c, IdleState<T>& x, const IdleSight<T>& in) noexcept {
    const T zero(0.0), one(1.0);
    const auto allowed = (c.overrun_cut > zero) & (x.foot_off >= c.cut_delay);
    const T above = select(x.cut > zero, c.resume_above, c.cut_above);
    x.cut = select(allowed & (in.speed > in.goal + above), one, zero);
    return one - x.cut;
}

template <class T>
void learn(const IdleCoefficients<T>& c, IdleState<T>& x, T error) noexcept {
    const auto learns = in_mode(x, idling) & (abs(error) <= c.learn_band);
    const T moved = x.integral * c.period / c.learn_time;
    const T learned = clamp(x.learned + moved, -c.learn_limit, c.learn_limit);
    x.integral = select(learns, x.integral - (learned - x.learned), x.integral);
    x.learned = select(learns, learned, x.learned);
}

}  // namespace idle

/// One tick of the governor.
template <class T>
[[nodiscard]] IdleAnswer<T> govern(const IdleCoefficients<T>& c, IdleState<T>& x, const IdleSight<T>& in) noexcept {
    idle::change_mode(c, x, in);
    const auto flares = idle::in_mode(x, idle::idling) & (x.foot_off < c.entry_time);
    x.target = select(flares, max(x.target, in.speed - c.entry_band), x.target);
    x.target = x.target + c.descent * (in.goal - x.target);
    const T error = x.target - in.speed;
    const T area = idle::air(c, x, in, error);
    const T retard = idle::spark(c, x, error);
    const T fuel = idle::fuel(c, x, in);
    idle::learn(c, x, error);
    return {area, retard, fuel, (c.most - area) / (c.most - c.least)};
}

}  // namespace twintrack::engine
