// SPDX-License-Identifier: BSD-3-Clause
#include "tracks.hpp"

#include "twintrack/core/number.hpp"
#include "twintrack/core/random.hpp"

namespace twintrack::bench {

Tracks::Tracks(const std::vector<sensing::TrackParameters>& list, const std::string& where, int seed, int case_number,
               std::uint32_t channel)
    : seed_(static_cast<std::uint32_t>(seed)), case_(static_cast<std::uint32_t>(case_number)), channel_(channel) {
    for (std::size_t k = 0; k < list.size(); ++k) {
        tracks_.emplace_back(list[k], where + "[" + std::to_string(k + 1) + "]");
        tracks_.back().lay(sensing::grains_of(seed, channel + static_cast<std::uint32_t>(k)));
    }
}

void Tracks::read(double position, const std::array<sensing::TrackEffect, sensing::max_tracks>& effects,
                  std::int64_t tick, wiring::TrackValues& out) {
    for (std::size_t k = 0; k < tracks_.size(); ++k) {
        const double noise = tracks_[k].parameters().noise + effects[k].noise;
        const NoiseStream stream(seed_, case_, channel_ + static_cast<std::uint32_t>(k));
        out[k] = tracks_[k].read(position, effects[k]);
        if (noise > 0.0) out[k] = clamp(out[k] + noise * stream.normal(static_cast<std::uint64_t>(tick)), 0.0, 1.0);
    }
}

}  // namespace twintrack::bench
