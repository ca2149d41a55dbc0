// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "pack.hpp"
#include "twintrack/core/logarithm.hpp"

/// What the laws of the engine need of a pack besides pack.hpp, and memory that each lane has for itself.
namespace twintrack::lanes {

template <int W, int K>
TWINTRACK_LANES_INLINE Pack<W, K> sqrt(const Pack<W, K>& a) noexcept {
    using Number = typename Register<W>::Number;
    return Pack<W, K>::of([&](int k) {
#if defined(__AVX512F__)
        if constexpr (W == 8) return (Number)_mm512_maskz_sqrt_pd(0xFF, (__m512d)a.r[k]);
#endif
#if defined(__AVX2__)
        if constexpr (W == 4) return (Number)_mm256_sqrt_pd((__m256d)a.r[k]);
#endif
        Number roots{};
        for (int j = 0; j < W; ++j) roots[j] = __builtin_sqrt(a.r[k][j]);
        return roots;
    });
}

/// e of normal numbers m·2ᵉ > 0 with √½ ≤ m < √2.
template <int W, int K>
TWINTRACK_LANES_INLINE Pack<W, K> binary_exponent(const Pack<W, K>& a) noexcept {
    using Number = typename Register<W>::Number;
    using Bits = typename Register<W>::Bits;
    constexpr std::int64_t root_half = 0x3FE6A09E667F3BCD;  // the bits of √½
    constexpr std::int64_t shift = 0x4338000000000000;      // those of 1.5·2⁵²
    return Pack<W, K>::of([&](int k) {
        const Bits exponent = ((Bits)a.r[k] - root_half) >> 52;
        return (Number)(exponent + shift) - 0x1.8p52;
    });
}

template <int W, int K>
TWINTRACK_LANES_INLINE Pack<W, K> logarithm(const Pack<W, K>& x) noexcept {
    return detail::logarithm_law(x);
}

/// Memory that each lane has for itself: `places` numbers in a row a lane, a lane's row behind the other's.
template <int places>
struct Rows {
    double* first;

    /// Number `place` of each lane's row.
    template <int W>
    TWINTRACK_LANES_INLINE typename Register<W>::Number get(int k, typename Register<W>::Word place) const noexcept {
        const auto at = place + row<W>(k);
#if defined(__AVX512F__)
        if constexpr (W == 8)
            return (typename Register<W>::Number)_mm512_mask_i64gather_pd(__m512d{}, 0xFF, (__m512i)at, first, 8);
#endif
        typename Register<W>::Number found{};
        for (int j = 0; j < W; ++j) found[j] = first[at[j]];
        return found;
    }
    template <int W>
    [[gnu::always_inline]] inline void put(int k, typename Register<W>::Word place,
                                           typename Register<W>::Number value) const noexcept {
        const auto at = place + row<W>(k);
        for (int j = 0; j < W; ++j) first[at[j]] = value[j];
    }

private:
    /// Where the rows of register k begin.
    template <int W>
    TWINTRACK_LANES_INLINE static typename Register<W>::Word row(int k) noexcept {
        typename Register<W>::Word begin{};
        for (int j = 0; j < W; ++j) begin[j] = static_cast<std::uint64_t>((k * W + j) * places);
        return begin;
    }
};

/// The bits of whole numbers 0 … 2⁵² − 1, held below `size`, a power of two: whatever they are, none lies outside.
template <int W>
TWINTRACK_LANES_INLINE typename Register<W>::Word wrapped(typename Register<W>::Number whole,
                                                          std::uint64_t size) noexcept {
    return (typename Register<W>::Word)(whole + 0x1p52) & (size - 1);
}

}  // namespace twintrack::lanes
