// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstdint>
#include <utility>

#include "twintrack/core/exponential.hpp"

#if defined(__AVX2__) || defined(__AVX512F__) || defined(__SSE2__)
#include <immintrin.h>
#endif

/// Numbers side by side, for the laws: `Pack<W, K>` holds K registers of W doubles, interleaved so that the processor
/// always has K independent chains to work on. The registers are the compiler's own vector types; no operation changes
/// its result with W or K. All of it inlines into one translation unit per instruction set.
namespace twintrack::lanes {

#define TWINTRACK_LANES_INLINE [[nodiscard, gnu::always_inline]] inline

template <int W>
struct Register;
template <>
struct Register<2> {
    typedef double Number __attribute__((vector_size(16)));
    typedef std::int64_t Bits __attribute__((vector_size(16)));
    typedef std::uint64_t Word __attribute__((vector_size(16)));
};
template <>
struct Register<4> {
    typedef double Number __attribute__((vector_size(32)));
    typedef std::int64_t Bits __attribute__((vector_size(32)));
    typedef std::uint64_t Word __attribute__((vector_size(32)));
};
template <>
struct Register<8> {
    typedef double Number __attribute__((vector_size(64)));
    typedef std::int64_t Bits __attribute__((vector_size(64)));
    typedef std::uint64_t Word __attribute__((vector_size(64)));
};

/// K registers made one by one.
template <class Array, class Make, std::size_t... k>
TWINTRACK_LANES_INLINE Array made(Make&& make, std::index_sequence<k...>) noexcept {
    return Array{{make(k)...}};
}

/// A condition per lane.
template <int W, int K>
struct Mask {
    typename Register<W>::Bits r[K];

    template <class Make>
    TWINTRACK_LANES_INLINE static Mask of(Make&& make) noexcept {
        return made<Mask>(make, std::make_index_sequence<K>{});
    }
    TWINTRACK_LANES_INLINE friend Mask operator&(const Mask& a, const Mask& b) noexcept {
        return of([&](std::size_t k) { return a.r[k] & b.r[k]; });
    }
    TWINTRACK_LANES_INLINE friend Mask operator|(const Mask& a, const Mask& b) noexcept {
        return of([&](std::size_t k) { return a.r[k] | b.r[k]; });
    }
    TWINTRACK_LANES_INLINE friend Mask operator!(const Mask& a) noexcept {
        return of([&](std::size_t k) { return ~a.r[k]; });
    }
    TWINTRACK_LANES_INLINE friend bool any(const Mask& a) noexcept {
        typename Register<W>::Bits all = a.r[0];
        for (int k = 1; k < K; ++k) all |= a.r[k];
#if defined(__AVX512F__)
        if constexpr (W == 8) return _mm512_test_epi64_mask((__m512i)all, (__m512i)all) != 0;
#endif
#if defined(__AVX2__)
        if constexpr (W == 4) return !_mm256_testz_si256((__m256i)all, (__m256i)all);
#endif
        std::int64_t one = 0;
        for (int j = 0; j < W; ++j) one |= all[j];
        return one != 0;
    }
    /// One bit per lane, the first lane lowest.
    TWINTRACK_LANES_INLINE friend std::uint64_t bits(const Mask& a) noexcept {
        std::uint64_t all = 0;
        if (!any(a)) return all;
        for (int k = 0; k < K; ++k)
            for (int j = 0; j < W; ++j) all |= static_cast<std::uint64_t>(a.r[k][j] != 0) << (k * W + j);
        return all;
    }
};

template <int W, int K>
struct Pack {
    static constexpr int lanes = W * K;
    static constexpr int width = W;
    using Number = typename Register<W>::Number;
    using Bits = typename Register<W>::Bits;
    using Word = typename Register<W>::Word;
    Number r[K];

    Pack() = default;
    [[gnu::always_inline]] Pack(double value) noexcept {      // NOLINT: a plain number is a constant
        for (int k = 0; k < K; ++k) r[k] = value - Number{};  // x − 0 is x, to the sign of a zero
    }
    template <class Make>
    TWINTRACK_LANES_INLINE static Pack of(Make&& make) noexcept {
        Pack p;
        for (int k = 0; k < K; ++k) p.r[k] = make(k);
        return p;
    }
    [[gnu::always_inline]] friend Pack operator+(const Pack& a, const Pack& b) noexcept {
        return of([&](int k) { return a.r[k] + b.r[k]; });
    }
    [[gnu::always_inline]] friend Pack operator-(const Pack& a, const Pack& b) noexcept {
        return of([&](int k) { return a.r[k] - b.r[k]; });
    }
    [[gnu::always_inline]] friend Pack operator*(const Pack& a, const Pack& b) noexcept {
        return of([&](int k) { return a.r[k] * b.r[k]; });
    }
    [[gnu::always_inline]] friend Pack operator/(const Pack& a, const Pack& b) noexcept {
        return of([&](int k) { return a.r[k] / b.r[k]; });
    }
    [[gnu::always_inline]] friend Pack operator-(const Pack& a) noexcept {
        return of([&](int k) { return -a.r[k]; });
    }
    [[gnu::always_inline]] friend Mask<W, K> operator<(const Pack& a, const Pack& b) noexcept {
        return Mask<W, K>::of([&](std::size_t k) { return (Bits)(a.r[k] < b.r[k]); });
    }
    [[gnu::always_inline]] friend Mask<W, K> operator<=(const Pack& a, const Pack& b) noexcept {
        return Mask<W, K>::of([&](std::size_t k) { return (Bits)(a.r[k] <= b.r[k]); });
    }
    [[gnu::always_inline]] friend Mask<W, K> operator>(const Pack& a, const Pack& b) noexcept { return b < a; }
    [[gnu::always_inline]] friend Mask<W, K> operator>=(const Pack& a, const Pack& b) noexcept { return b <= a; }
    [[gnu::always_inline]] friend Pack select(const Mask<W, K>& m, const Pack& yes, const Pack& no) noexcept {
        return of([&](int k) { return m.r[k] ? yes.r[k] : no.r[k]; });
    }
    [[gnu::always_inline]] friend Pack min(const Pack& a, const Pack& b) noexcept {
        return of([&](int k) { return b.r[k] < a.r[k] ? b.r[k] : a.r[k]; });
    }
    [[gnu::always_inline]] friend Pack max(const Pack& a, const Pack& b) noexcept {
        return of([&](int k) { return a.r[k] < b.r[k] ? b.r[k] : a.r[k]; });
    }
    [[gnu::always_inline]] friend Pack abs(const Pack& a) noexcept {
        return of([&](int k) { return (Number)((Bits)a.r[k] & (Bits{} + 0x7fffffffffffffff)); });
    }
    [[gnu::always_inline]] friend Pack power_of_two(const Pack& shifted) noexcept {
        return of([&](int k) { return (Number)(((Word)shifted.r[k] + 1023) << 52); });
    }
    /// The lane's own entry of each row: rows[i·lanes + lane] for whole numbers 0 ≤ i < 2³¹.
    [[gnu::always_inline]] friend Pack gather(const double* rows, const Pack& row) noexcept {
        return of([&](int k) {
            const Word place = ((Word)(row.r[k] + 0x1p52) & 0x7FFFFFFF) * static_cast<std::uint64_t>(lanes);
            Number found{};
            for (int j = 0; j < W; ++j) found[j] = rows[place[j] + static_cast<std::uint64_t>(k * W + j)];
            return found;
        });
    }
    [[gnu::always_inline]] friend Pack exponential(const Pack& x) noexcept { return detail::exponential_law(x); }
};

}  // namespace twintrack::lanes
