// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "twintrack/sensing/assembly.hpp"
#include "twintrack/sensing/random_channels.hpp"
#include "twintrack/wiring/connection.hpp"

namespace twintrack::bench {

/// The tracks of one assembly with their noise.
class Tracks {
public:
    /// `channel`: of the first track's noise. Throws InvalidParameter, its path beginning with `where`.
    Tracks(const std::vector<sensing::TrackParameters>& list, const std::string& where, int seed, int case_number,
           std::uint32_t channel);

    /// Outputs [share of supply] at `position` at tick number `tick`.
    void read(double position, const std::array<sensing::TrackEffect, sensing::max_tracks>& effects, std::int64_t tick,
              wiring::TrackValues& out);

private:
    std::vector<sensing::Track> tracks_;
    std::uint32_t seed_, case_, channel_;
};

}  // namespace twintrack::bench
