// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstdint>

/// Channels of the pseudo-random numbers of a bench: the only list. A draw is a function of seed, case, channel and
/// number (core/random.hpp), so two things that share a channel of one case share their draws.
namespace twintrack::sensing::channels {

inline constexpr std::uint32_t per_assembly = 16;              ///< tracks that an assembly may have here
inline constexpr std::uint32_t pedal_noise = 0;                ///< + number of the track; by tick
inline constexpr std::uint32_t throttle_noise = per_assembly;  ///< the same of the throttle body
inline constexpr std::uint32_t switching = 2 * per_assembly;   ///< phase of the bridge's switching; by tick
inline constexpr std::uint32_t grains_offset = 64;             ///< a track's grains: its noise channel + this; by place
inline constexpr std::uint32_t contacts = grains_offset + 3 * per_assembly;  ///< + number of the fault; by its period

static_assert(switching < grains_offset && throttle_noise + per_assembly <= switching);
static_assert(grains_offset + throttle_noise + per_assembly <= contacts);

}  // namespace twintrack::sensing::channels
