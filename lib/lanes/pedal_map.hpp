// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"

namespace twintrack::lanes {

/// The pedal map.
template <class T>
[[nodiscard]] T mapped(const ControlFields<T>& c, int pieces, T pedal) noexcept {
    sensing::Piece<T> p = c.map[0];
    T span = c.map_span[0];
    for (int i = 1; i < pieces; ++i) {
        const auto before = pedal < c.map[i].start;
        p = {select(before, p.start, c.map[i].start), select(before, p.value, c.map[i].value),
             select(before, p.slope, c.map[i].slope)};
        span = select(before, span, c.map_span[i]);
    }
    return p.value + p.slope * max(pedal - p.start, T(0.0)) / span;
}

}  // namespace twintrack::lanes
