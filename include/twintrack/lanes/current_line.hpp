// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/exponential.hpp"
#include "twintrack/plant/bridge.hpp"
#include "twintrack/plant/motor.hpp"

/// The motor's current over one step of the body (body_step.hpp).
namespace twintrack::lanes {

/// What acts on the body during one tick: the bridge as a source behind a resistance, and what is worked out of it.
template <class T>
struct Push {
    T voltage;          ///< [V]; in high impedance the magnitude that opposes the current
    T resistance;       ///< [Ω] of the bridge
    T limit;            ///< [A]
    T open;             ///< 1 in high impedance, else 0
    T external_torque;  ///< [N·m] on the blade
    T inverse;          ///< 1/R' [S], 0 in high impedance
    T decay;            ///< e^(−h/τ), 0 in high impedance
    T share;            ///< c, 0 in high impedance
};

/// A current that follows the mean speed w_m in a straight line: ī = mean + mean_slope w_m, i₊ = end + end_slope w_m.
template <class T>
struct CurrentLine {
    T mean, mean_slope, end, end_slope;
};

template <class T>
[[nodiscard]] CurrentLine<T> current_line(T voltage, T blade_constant, T inverse, T decay, T share,
                                          T current) noexcept {
    const T one(1.0);
    const T still = voltage * inverse, back = blade_constant * inverse;
    return {share * current + (one - share) * still, -(one - share) * back, decay * current + (one - decay) * still,
            -(one - decay) * back};
}

/// Mean share c of a current that decays by e^(−y) over a step.
template <class T>
[[nodiscard]] T mean_share(T y, T decay) noexcept {
    return (T(1.0) - decay) / y;
}

/// Fills in what the steps of a tick share; `h` [s].
template <class T>
void prepare(const plant::MotorCoefficients<T>& c, Push<T>& p, T h) noexcept {
    const T zero(0.0), one(1.0);
    const auto open = p.open > zero;
    const T resistance = c.resistance + p.resistance;
    const T y = h * resistance * c.inverse_inductance;
    const T decay = exponential(-y);
    p.inverse = select(open, zero, one / resistance);
    p.decay = select(open, zero, decay);
    p.share = select(open, zero, mean_share(y, decay));
}

/// Lanes whose current would exceed the bridge's limit.
template <class T>
[[nodiscard]] auto over_limit(const Push<T>& p, const CurrentLine<T>& line, T speed) noexcept {
    return abs(line.mean + line.mean_slope * speed) > p.limit;
}

/// The line of lanes whose brushes drop voltage or whose current is limited; the others keep theirs.
template <class T>
void bend(const plant::MotorCoefficients<T>& c, const Push<T>& p, T h, T current, T speed,
          CurrentLine<T>& line) noexcept {
    const T zero(0.0), half(0.5), one(1.0);
    const T base = c.resistance + p.resistance;
    const T at_start = base + c.brush_drop / (abs(current) + T(plant::brush_smoothing));
    const T y = half * h * c.inverse_inductance;
    const T there = (current + y * (p.voltage - c.blade_constant * speed)) / (one + y * at_start);
    const T slope = abs(p.voltage) / (T(0.05) * p.limit);  // of the voltage that fades, per ampere
    const T faded = (current + y * (T(21.0) * p.voltage - c.blade_constant * speed)) / (one + y * (at_start + slope));
    const auto limited = over_limit(p, line, speed) & (p.voltage * there > zero) & (abs(there) > p.limit);
    const auto fading = limited & (abs(faded) < T(1.05) * p.limit);
    const auto beyond = limited & !(abs(faded) < T(1.05) * p.limit);
    const T brush = c.brush_drop / (abs(there) + T(plant::brush_smoothing));
    const T resistance = base + brush + select(fading, slope, zero);
    const T voltage = select(beyond, zero, select(fading, T(21.0) * p.voltage, p.voltage));
    const T over = h * resistance * c.inverse_inductance;
    const T decay = exponential(-over);
    const CurrentLine<T> bent =
        current_line(voltage, c.blade_constant, one / resistance, decay, mean_share(over, decay), current);
    const auto needed = ((c.brush_drop > zero) | fading | beyond) & !(p.open > zero);
    line = {select(needed, bent.mean, line.mean), select(needed, bent.mean_slope, line.mean_slope),
            select(needed, bent.end, line.end), select(needed, bent.end_slope, line.end_slope)};
}

/// The line of lanes whose current dies in high impedance.
template <class T>
void die(const plant::MotorCoefficients<T>& c, const Push<T>& p, T h, T current, T speed,
         CurrentLine<T>& line) noexcept {
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
    line = {select(open, along * mean, line.mean), select(open, zero, line.mean_slope),
            select(open, select(died, zero, along * end), line.end), select(open, zero, line.end_slope)};
}

}  // namespace twintrack::lanes
