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

/// The four words of one counter; `tick` holds a whole number below 2³².
template <int W>
struct Drawn {
    Words<W> c0, c1, c2, c3;
};
template <int W>
TWINTRACK_LANES_INLINE Drawn<W> drawn(typename Register<W>::Number seed, typename Register<W>::Number number,
                                      typename Register<W>::Number tick, std::uint64_t channel) noexcept {
    using Word = Words<W>;
    constexpr std::uint64_t low = 0xFFFFFFFF;
    Word key0 = (Word)seed, key1 = (Word)number;
    Word c0 = (Word)(tick + 0x1p52) & low, c1{}, c2 = Word{} + channel, c3{};
    for (int round = 0; round < 10; ++round) {
        const Word a = wide_product<W>(Word{} + 0xD2511F53, c0);
        const Word b = wide_product<W>(Word{} + 0xCD9E8D57, c2);
        c0 = (b >> 32) ^ c1 ^ key0, c1 = b & low;
        c2 = (a >> 32) ^ c3 ^ key1, c3 = a & low;
        key0 = (key0 + 0x9E3779B9) & low, key1 = (key1 + 0xBB67AE85) & low;
    }
    return {c0, c1, c2, c3};
}

/// A whole number below 2⁵² as a number.
template <int W>
TWINTRACK_LANES_INLINE typename Register<W>::Number counted(Words<W> word) noexcept {
    return (typename Register<W>::Number)(word | 0x4330000000000000) - 0x1p52;
}

/// One sample of NoiseStream::uniform: `seed` and `number` hold the key's words.
template <int W, int K>
TWINTRACK_LANES_INLINE Pack<W, K> uniform(const Pack<W, K>& seed, const Pack<W, K>& number, const Pack<W, K>& tick,
                                          std::uint64_t channel) noexcept {
    return Pack<W, K>::of(
        [&](int k) { return counted<W>(drawn<W>(seed.r[k], number.r[k], tick.r[k], channel).c0) * 0x1p-32; });
}

/// One sample of NoiseStream::normal.
template <int W, int K>
TWINTRACK_LANES_INLINE Pack<W, K> normal(const Pack<W, K>& seed, const Pack<W, K>& number, const Pack<W, K>& tick,
                                         std::uint64_t channel) noexcept {
    return Pack<W, K>::of([&](int k) {
        const auto halves = [](Words<W> w) { return (w & 0xFFFF) + (w >> 16); };
        const Drawn<W> d = drawn<W>(seed.r[k], number.r[k], tick.r[k], channel);
        const Words<W> sum = halves(d.c0) + halves(d.c1) + halves(d.c2) + halves(d.c3);
        const auto value = counted<W>(sum);
        constexpr double mean = 8 * 32767.5;
        constexpr double inverse_deviation = 1.0 / 53509.91992145008;
        return (value - mean) * inverse_deviation;
    });
}

}  // namespace twintrack::lanes
