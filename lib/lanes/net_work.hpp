// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"
#include "kernel.hpp"

/// What a register's nets are solved with.
namespace twintrack::lanes {

template <int W, int K>
[[nodiscard]] Pack<W, 1> part(const Pack<W, K>& p, int k) noexcept {
    return Pack<W, 1>::of([&](int) { return p.r[k]; });
}

/// A register's coefficients.
template <int W>
struct Coefficients {
    const double* first;
    [[nodiscard]] Pack<W, 1> operator[](int place) const noexcept {
        const double* at = first + place * W;
        return Pack<W, 1>::of([&](int) { return *reinterpret_cast<const typename Register<W>::Number*>(at); });
    }
};

/// The same for all lanes.
template <int W>
struct CommonCoefficients {
    const double* first;
    [[nodiscard]] Pack<W, 1> operator[](int place) const noexcept { return Pack<W, 1>(first[place]); }
};

/// Calls `law` with the counts and, by register, the coefficients of a block's nets. What all of them have in common
/// stays in the nearest cache.
template <int W, class Law>
[[nodiscard]] LaneBits with_nets(const Shape& shape, Law&& law) noexcept {
    return wiring::with_known_counts(shape.net.counts(), [&](const auto& n) {
        const int total = n.total();
        if (shape.net_of_all) return law(n, [&](int) { return CommonCoefficients<W>{shape.net_of_all}; });
        return law(n, [&](int k) { return Coefficients<W>{shape.wires + k * total * W}; });
    });
}

template <int W>
struct NetWork {
    static constexpr int most_reads = 48;
    using One = Pack<W, 1>;
    One ratio[most_sources], resistance[most_sources], inputs[4];
    One lower[most_sources * most_sources], inverse[most_sources], row[most_sources];
    One current[most_sources], columns[4 + 2 * most_sources], reads[most_reads];

    [[nodiscard]] wiring::PortWork<One> work() noexcept {
        return {ratio, resistance, inputs, lower, inverse, row, current, columns, reads};
    }
};

}  // namespace twintrack::lanes
