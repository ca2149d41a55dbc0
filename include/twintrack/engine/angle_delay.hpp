// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstddef>

namespace twintrack::engine {

/// A delay by crank angle: what is written at crank angle φ is read at φ + Δ. So the delay in time is Δ/ω at any
/// speed, nothing is lost while the speed changes, and nothing comes out of an engine that stands.
///
/// Linear between two writes; writes closer together than Δ/256 are thinned out. Angles must not fall, neither those
/// written nor those read; before the first write the initial value comes out.
class AngleDelay {
public:
    /// `angle` Δ [rad] > 0.
    AngleDelay(double angle, double initial) noexcept;

    /// `value` holds at crank angle `angle` [rad].
    void write(double angle, double value) noexcept;

    /// The value Δ before `angle`, which may lie up to Δ ahead of the last write.
    [[nodiscard]] double read(double angle) noexcept;

private:
    struct Point {
        double angle, value;
    };
    static constexpr std::size_t slots = 512;  // a power of two; twice what Δ can hold
    [[nodiscard]] Point& at(std::size_t k) noexcept { return points_[k & (slots - 1)]; }

    double angle_, least_gap_;
    std::size_t newest_ = 1;  ///< index of the last write; replaced by the next one if too close to its predecessor
    std::size_t cursor_ = 0;  ///< index of the last point at or before the angle last read
    std::array<Point, slots> points_;
};

}  // namespace twintrack::engine
