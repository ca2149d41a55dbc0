// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/number.hpp"

/// The arithmetic of tracks and converter on any number type; track.hpp and acquisition.hpp say what it means.
namespace twintrack::sensing {

/// A straight piece of a track's table.
template <class T>
struct Piece {
    T start, value, slope;
};

/// Output [share of supply] at position `x`, which lies on `piece`, before faults and clamps.
template <class T>
[[nodiscard]] T on_piece(const Piece<T>& piece, T bow, T x) noexcept {
    return piece.value + piece.slope * (x - piece.start) + T(4.0) * bow * x * (T(1.0) - x);
}

/// The output with a fault's gain about the ratio at rest and its offset, clamped.
template <class T>
[[nodiscard]] T affected(T ratio, T rest, T gain, T offset, T low, T high) noexcept {
    return clamp(rest + gain * (ratio - rest) + offset, low, high);
}

/// One pole's output after a step over which `volts` were held.
template <class T>
[[nodiscard]] T settled(T filtered, T volts, T decay) noexcept {
    return volts + (filtered - volts) * decay;
}

/// The nearest whole number, halves to even, for |x| < 2⁵¹: adding and taking away 1.5·2⁵² gives the same bits
/// everywhere.
template <class T>
[[nodiscard]] T nearest(T x) noexcept {
    const T shift(0x1.8p52);
    const T shifted = x + shift;
    return shifted - shift;
}

/// The largest whole number ≤ x, for |x| < 2⁵¹.
template <class T>
[[nodiscard]] T whole_below(T x) noexcept {
    const T n = nearest(x);
    return n - select(x < n, T(1.0), T(0.0));
}

/// A track's roughness between two of its grains, straight from one to the other, `share` of the way. With independent
/// values of unit variance at the grains, the mean square over the travel is 2/3: hence the factor √(3/2).
inline constexpr double grain_factor = 1.224744871391589;

template <class T>
[[nodiscard]] T between_grains(T left, T right, T share) noexcept {
    return left + share * (right - left);
}

/// The code of `volts` as a share of full scale.
template <class T>
[[nodiscard]] T code_share(T volts, T reference, T full_scale) noexcept {
    const T zero(0.0);
    const T code = clamp(nearest(volts / reference * full_scale), zero, full_scale) / full_scale;
    return select(reference > zero, code, select(volts > zero, T(1.0), zero));
}

}  // namespace twintrack::sensing
