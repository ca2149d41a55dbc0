// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/connection.hpp"

namespace twintrack::wiring {

Ends ideal(const Sources& s) noexcept {
    Ends e;
    e.reference = s.reference;
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        e.pedal[k] = s.reference * s.pedal[k];
        e.throttle[k] = s.reference * s.throttle[k];
    }
    e.motor = s.bridge;
    return e;
}

}  // namespace twintrack::wiring
