// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstdint>

namespace twintrack::engine {

/// A delay by crank angle: what is written at crank angle φ is read at φ + Δ. So the delay in time is Δ/ω at any
/// speed, nothing is lost while the speed changes, and nothing comes out of an engine that stands.
///
/// Values are kept at the angles k Δ/64, linear between two writes; the angle must not fall. Written at least every Δ;
/// before the first write the initial value comes out.
class AngleDelay {
public:
    /// `angle` Δ [rad] > 0.
    AngleDelay(double angle, double initial) noexcept;

    /// The value from now, crank angle `angle` [rad], on.
    void write(double angle, double value) noexcept;

    /// The value Δ before `angle`, which may lie up to 63/64 Δ ahead of the last write.
    [[nodiscard]] double read(double angle) const noexcept;

private:
    static constexpr std::int64_t parts = 64;
    static constexpr std::int64_t slots = 128;
    [[nodiscard]] static std::size_t slot(std::int64_t k) noexcept { return static_cast<std::size_t>(k & (slots - 1)); }

    double inverse_pace_;         ///< 64/Δ [1/rad]
    double last_position_ = 0.0;  ///< of the last write, in units of Δ/64
    double last_value_;
    std::int64_t newest_ = 0;  ///< greatest k that has been stored
    std::array<double, slots> stored_;
};

}  // namespace twintrack::engine
