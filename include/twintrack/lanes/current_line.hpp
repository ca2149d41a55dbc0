// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/exponential.hpp"
#include "twintrack/core/logarithm.hpp"
#include "twintrack/plant/bridge.hpp"
#include "twintrack/plant/motor.hpp"

/// The motor's current over one step of the body (body_step.hpp).
namespace twintrack::lanes {

/// What acts on the body during one tick: the bridge as a source behind a resistance, and what follows from it for all
/// steps of the tick.
template <class T>
struct MotorSource {
    T voltage;          ///< [V]; in high impedance the magnitude that opposes the current
    T resistance;       ///< [Ω] of the bridge
    T limit;            ///< [A]
    T open;             ///< 1 in high impedance, else 0
    T external_torque;  ///< [N·m] on the blade

    T keep, drive, slip;              ///< N K ī = keep iₙ + drive − slip w_m; all 0 in high impedance
    T keep_end, drive_end, slip_end;  ///< i₊ = keep_end iₙ + drive_end − slip_end w_m; the same
    T most;                           ///< N K times the limit [N·m]
    bool bends;                       ///< a lane has brushes that drop voltage
    bool dies;                        ///< a lane's bridge is open
};

/// A current that follows the mean speed w_m in a straight line: N K ī = torque + slope w_m, i₊ = end + end_slope w_m.
template <class T>
struct CurrentLine {
    T torque, slope, end, end_slope;
};

/// Mean share c of a current that decays by e^(−y) over a step.
template <class T>
[[nodiscard]] T mean_share(T y, T decay) noexcept {
    return (T(1.0) - decay) / y;
}

/// Fills in what the steps of a tick share; `h` [s].
template <class T>
void prepare(const plant::MotorCoefficients<T>& c, MotorSource<T>& p, T h) noexcept {
    const T zero(0.0), one(1.0);
    const auto open = p.open > zero;
    const T resistance = c.resistance + p.resistance;
    const T y = h * resistance * c.inverse_inductance;
    const T decay = exponential(-y);
    const T share = mean_share(y, decay), inverse = select(open, zero, one / resistance);
    const T still = p.voltage * inverse, back = c.blade_constant * inverse;
    p.keep = select(open, zero, c.blade_constant * share);
    p.drive = c.blade_constant * ((one - share) * still);
    p.slip = c.blade_constant * ((one - share) * back);
    p.keep_end = select(open, zero, decay);
    p.drive_end = (one - decay) * still;
    p.slip_end = (one - decay) * back;
    p.most = c.blade_constant * p.limit;
    p.bends = any(c.brush_drop > zero);
    p.dies = any(open);
}

template <class T>
[[nodiscard]] CurrentLine<T> current_line(const MotorSource<T>& p, T current) noexcept {
    return {p.keep * current + p.drive, -p.slip, p.keep_end * current + p.drive_end, -p.slip_end};
}

/// Brushes over a step as a source behind a resistance: voltage + resistance i.
template <class T>
struct BrushLine {
    T voltage, resistance;
};

/// About a current that moves in a straight line from `current` to `end`: the mean voltage is the difference of its
/// potential, so that a change of sign within the step counts where it happens.
template <class T>
[[nodiscard]] BrushLine<T> brush_line(const plant::MotorCoefficients<T>& c, T current, T end) noexcept {
    using twintrack::logarithm;  // the packs have one of their own
    const T half(0.5), one(1.0), smoothing(plant::brush_smoothing);
    const T move = end - current, middle = half * (current + end);
    const auto moves = abs(move) > T(1e-6);
    const T inverse = one / select(moves, move, one);
    const T from = abs(current), to = abs(end);
    const T at_from = one / (from + smoothing), at_to = one / (to + smoothing),
            at_middle = one / (abs(middle) + smoothing);
    // U_b |i|/(|i| + i_b) has the potential U_b (|i| − i_b ln(|i| + i_b)).
    const T lost = c.brush_drop * ((to - from) - smoothing * logarithm((to + smoothing) * at_from)) * inverse;
    const T rise = c.brush_drop * (end * at_to - current * at_from) * inverse;
    const T mean = select(moves, lost, c.brush_drop * middle * at_middle);
    const T slope = select(moves, rise, c.brush_drop * smoothing * at_middle * at_middle);
    return {mean - slope * middle, slope};
}

/// What a limit of the current makes of a step: resistance that is added, voltage at the terminals, and where.
template <class T>
struct Limited {
    T resistance, voltage;
    decltype(T(0.0) < T(0.0)) there;
};

/// For a current that would pass the limit: up to 5 % beyond it the voltage fades, further there is none. `base` [Ω],
/// `opposed` [V] by brushes and speed.
template <class T>
[[nodiscard, gnu::noinline]] Limited<T> limited(const plant::MotorCoefficients<T>& c, const MotorSource<T>& p, T h,
                                                T current, T base, T opposed,
                                                decltype(T(0.0) < T(0.0)) over_limit) noexcept {
    const T zero(0.0), half(0.5), one(1.0), soft(21.0), edge = T(1.05) * p.limit;
    const T y = half * h * c.inverse_inductance;
    const T there = (current + y * (p.voltage - opposed)) / (one + y * base);
    const T slope = abs(p.voltage) / (T(0.05) * p.limit);  // of the voltage that fades, per ampere
    const T faded = (current + y * (soft * p.voltage - opposed)) / (one + y * (base + slope));
    const decltype(T(0.0) < T(0.0)) beaten = over_limit & (p.voltage * there > zero) & (abs(there) > p.limit);
    const auto fading = beaten & (abs(faded) < edge);
    const auto beyond = beaten & !(abs(faded) < edge);
    return {select(fading, slope, zero), select(beyond, zero, select(fading, soft * p.voltage, p.voltage)), beaten};
}

/// The line of lanes whose brushes drop voltage or whose current is limited; the others keep theirs.
template <class T>
[[nodiscard, gnu::noinline]] CurrentLine<T> bent(const plant::MotorCoefficients<T>& c, const MotorSource<T>& p, T h,
                                                 T current, T speed, CurrentLine<T> line) noexcept {
    const T zero(0.0), one(1.0);
    const BrushLine<T> brush = brush_line(c, current, line.end + line.end_slope * speed);
    T resistance = c.resistance + p.resistance + brush.resistance, terminal = p.voltage;
    auto needed = c.brush_drop > zero;
    const auto over_limit = abs(line.torque + line.slope * speed) > p.most;
    if (any(over_limit)) {
        const T opposed = brush.voltage + c.blade_constant * speed;
        const Limited<T> held = limited(c, p, h, current, resistance, opposed, over_limit);
        resistance = resistance + held.resistance, terminal = held.voltage;
        needed = needed | held.there;
    }
    needed = needed & !(p.open > zero);
    const T over = h * resistance * c.inverse_inductance;
    const T decay = exponential(-over);
    const T share = mean_share(over, decay), inverse = one / resistance;
    const T still = (terminal - brush.voltage) * inverse, back = c.blade_constant * inverse;
    return {select(needed, c.blade_constant * (share * current + (one - share) * still), line.torque),
            select(needed, -c.blade_constant * ((one - share) * back), line.slope),
            select(needed, decay * current + (one - decay) * still, line.end),
            select(needed, -(one - decay) * back, line.end_slope)};
}

/// The line of lanes whose current dies in high impedance.
template <class T>
[[nodiscard, gnu::noinline]] CurrentLine<T> dying(const plant::MotorCoefficients<T>& c, const MotorSource<T>& p, T h,
                                                  T current, T speed, CurrentLine<T> line) noexcept {
    const T zero(0.0), half(0.5), one(1.0);
    const T size = abs(current);
    const T along = select(current < zero, -one, one);
    const T y = h * c.resistance * c.inverse_inductance;
    const T decay = exponential(-y);
    const T share = mean_share(y, decay);
    const T still = -(p.voltage + brush_voltage(c, size) + along * c.blade_constant * speed) / c.resistance;
    const T end = decay * size + (one - decay) * still;
    const auto died = !(end > zero);
    const T mean =
        select(died, half * size * (size / max(size - end, T(1e-300))), share * size + (one - share) * still);
    const auto open = p.open > zero;
    return {select(open, c.blade_constant * along * mean, line.torque), select(open, zero, line.slope),
            select(open, select(died, zero, along * end), line.end), select(open, zero, line.end_slope)};
}

}  // namespace twintrack::lanes
