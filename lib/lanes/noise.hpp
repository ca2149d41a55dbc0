// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "pack.hpp"

/// The noise of core/random.hpp in lanes: the same words, the same numbers.
namespace twintrack::lanes {

template <int W>
using Words = typename Register<W>::Word;

/// The product of the low halves of the words.
template <int W>
TWINTRACK_LANES_INLINE Words<W> wide_product(Words<W> a, Words<W> b) noexcept {
#if defined(__AVX512F__)
    if constexpr (W == 8) return (Words<W>)_mm512_maskz_mul_epu32(0xFF, (__m512i)a, (__m512i)b);
#endif
#if defined(__AVX2__)
    if constexpr (W == 4) return (Words<W>)_mm256_mul_epu32((__m256i)a, (__m256i)b);
#endif
#if defined(__SSE2__)
    if constexpr (W == 2) return (Words<W>)_mm_mul_epu32((__m128i)a, (__m128i)b);
#endif
    return (a & 0xFFFFFFFF) * (b & 0xFFFFFFFF);
}

/// The sum of the sixteen-bit halves of four words, which lie in the low halves of `c`.
template <int W>
TWINTRACK_LANES_INLINE Words<W> sum_of_halves(const Words<W> (&c)[4]) noexcept {
    constexpr std::uint64_t low = 0xFFFFFFFF, halves = 0x0000FFFF0000FFFF;
    const Words<W> one = (c[0] & low) | (c[1] << 32), two = (c[2] & low) | (c[3] << 32);
    const Words<W> sum = ((one & halves) + ((one >> 16) & halves)) + ((two & halves) + ((two >> 16) & halves));
    return (sum + (sum >> 32)) & low;
}

/// Four words of philox() for each of N channels that follow `first`. What lies above a word's 32 bits is of no use and
/// of no harm: products take the low halves only.
template <int W, std::size_t N>
[[gnu::always_inline]] inline void words_of(Words<W> (&c)[N][4], Words<W> key0, Words<W> key1, Words<W> tick,
                                            std::uint64_t first) noexcept {
    constexpr std::uint64_t even = 0xD2511F53, odd = 0xCD9E8D57, step0 = 0x9E3779B9, step1 = 0xBB67AE85;
    const Words<W> a = wide_product<W>(Words<W>{} + even, tick);  // round 1: only the channel differs
    for (std::size_t n = 0; n < N; ++n) {
        const std::uint64_t b = odd * (first + n);
        c[n][0] = key0 ^ (b >> 32), c[n][1] = Words<W>{} + b;
        c[n][2] = (a >> 32) ^ key1, c[n][3] = a;
    }
    for (int round = 1; round < 10; ++round) {
        key0 += step0, key1 += step1;
        for (std::size_t n = 0; n < N; ++n) {
            const Words<W> p = wide_product<W>(Words<W>{} + even, c[n][0]);
            const Words<W> q = wide_product<W>(Words<W>{} + odd, c[n][2]);
            c[n][0] = (q >> 32) ^ c[n][1] ^ key0, c[n][1] = q;
            c[n][2] = (p >> 32) ^ c[n][3] ^ key1, c[n][3] = p;
        }
    }
}

/// A whole number below 2⁵² as a number.
template <int W>
TWINTRACK_LANES_INLINE typename Register<W>::Number counted(Words<W> word) noexcept {
    return (typename Register<W>::Number)(word | 0x4330000000000000) - 0x1p52;
}

/// One sample of NoiseStream::uniform, as normals().
template <int W, int K>
TWINTRACK_LANES_INLINE Pack<W, K> uniform(const Pack<W, K>& seed, const Pack<W, K>& number, const Pack<W, K>& tick,
                                          std::uint64_t channel) noexcept {
    return Pack<W, K>::of([&](int k) {
        Words<W> c[1][4];
        words_of<W>(c, (Words<W>)seed.r[k], (Words<W>)number.r[k], (Words<W>)(tick.r[k] + 0x1p52), channel);
        return counted<W>(c[0][0] & 0xFFFFFFFF) * 0x1p-32;
    });
}

/// A sample of NoiseStream::normal for each of N channels that follow `first`: `seed` and `number` hold the key's
/// words, `tick` a whole number below 2³².
template <int W, int K, std::size_t N>
[[gnu::always_inline]] inline void normals(Pack<W, K> (&out)[N], const Pack<W, K>& seed, const Pack<W, K>& number,
                                           const Pack<W, K>& tick, std::uint64_t first) noexcept {
    using Word = Words<W>;
    for (int k = 0; k < K; ++k) {
        Word c[N][4];
        words_of<W>(c, (Word)seed.r[k], (Word)number.r[k], (Word)(tick.r[k] + 0x1p52), first);
        for (std::size_t n = 0; n < N; ++n) {
            const auto value = counted<W>(sum_of_halves<W>(c[n]));
            constexpr double mean = 8 * 32767.5;
            constexpr double inverse_deviation = 1.0 / 53509.91992145008;
            out[n].r[k] = (value - mean) * inverse_deviation;
        }
    }
}

}  // namespace twintrack::lanes
