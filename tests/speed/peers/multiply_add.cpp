// SPDX-License-Identifier: BSD-3-Clause
// Prints the rate at which one core multiplies and adds [Gflop/s, double, a fused multiply-add counted as two]: twelve
// independent chains per vector, so that nothing but the arithmetic units limits it.
#include <cstdio>
#include <ctime>

#if defined(__AVX512F__)
constexpr int width = 8;
#else
constexpr int width = 4;
#endif
typedef double Vector __attribute__((vector_size(8 * width)));

int main() {
    Vector chain[12];
    for (int k = 0; k < 12; ++k) chain[k] = Vector{} + 1.0 + 1e-3 * k;
    const Vector factor = Vector{} + 0.999999, addend = Vector{} + 1e-6;
    double best = 0.0;
    for (int round = 0; round < 20; ++round) {
        constexpr int count = 2000000;
        const std::clock_t began = std::clock();
        for (int n = 0; n < count; ++n)
#pragma GCC unroll 12
            for (int k = 0; k < 12; ++k) chain[k] = chain[k] * factor + addend;
        const double seconds = static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC;
        const double rate = 2.0 * 12 * width * count / seconds / 1e9;
        if (rate > best) best = rate;
    }
    double sum = 0.0;
    for (const Vector& v : chain) sum += v[0];
    std::printf("%.4g %.3g\n", best, sum);
}
