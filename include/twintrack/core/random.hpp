// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstdint>

namespace twintrack {

/// Philox4x32-10, the counter-based generator of Salmon, Moraes, Dror, Shaw, "Parallel random numbers: as easy as
/// 1, 2, 3", SC'11 (2011). A pure function of counter and key: no state to share, any number can be drawn by itself.
[[nodiscard]] constexpr std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter,
                                                            std::array<std::uint32_t, 2> key) noexcept {
    for (int round = 0; round < 10; ++round) {
        const std::uint64_t a = std::uint64_t{0xD2511F53} * counter[0];
        const std::uint64_t b = std::uint64_t{0xCD9E8D57} * counter[2];
        counter = {static_cast<std::uint32_t>(b >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(b),
                   static_cast<std::uint32_t>(a >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(a)};
        key[0] += 0x9E3779B9;
        key[1] += 0xBB67AE85;
    }
    return counter;
}

/// Noise keyed by (study seed, case, channel): the sample of a tick does not depend on any other draw.
class NoiseStream {
public:
    constexpr NoiseStream(std::uint32_t seed, std::uint32_t case_number, std::uint32_t channel) noexcept
        : key_{seed, case_number}, channel_(channel) {}

    /// Zero mean, unit variance: the sum of eight 16-bit uniforms (|value| ≤ 4.9, excess kurtosis −0.15), chosen
    /// over a transform with logarithms because it gives the same bits everywhere.
    [[nodiscard]] constexpr double normal(std::uint64_t tick) const noexcept {
        const auto words =
            philox({static_cast<std::uint32_t>(tick), static_cast<std::uint32_t>(tick >> 32), channel_, 0}, key_);
        std::uint32_t sum = 0;
        for (const std::uint32_t w : words) sum += (w & 0xFFFF) + (w >> 16);
        constexpr double mean = 8 * 32767.5;
        constexpr double inverse_deviation = 1.0 / 53509.91992145008;  // sqrt(8 · (65536² − 1) / 12)
        return (static_cast<double>(sum) - mean) * inverse_deviation;
    }

    /// Evenly in [0, 1).
    [[nodiscard]] constexpr double uniform(std::uint64_t tick) const noexcept {
        return 0x1p-32 *
               philox({static_cast<std::uint32_t>(tick), static_cast<std::uint32_t>(tick >> 32), channel_, 0}, key_)[0];
    }

private:
    std::array<std::uint32_t, 2> key_;
    std::uint32_t channel_;
};

}  // namespace twintrack
