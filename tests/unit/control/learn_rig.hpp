// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <ostream>
#include <set>
#include <utility>

#include "rig.hpp"
#include "twintrack/control/range_learn.hpp"

/// Range learns on the small closed loop.
namespace rig {

struct Learned {
    twintrack::control::LearnResult result;
    std::vector<Sample> samples;
    double pedal_time = 0.0;  ///< [s] at which it began to wait for the first press
    std::set<std::pair<twintrack::control::LearnState, twintrack::control::LearnState>> taken{};
};

/// Runs a learn to its end and checks what holds for every learn.
[[nodiscard]] Learned learn(Setup setup, const twintrack::control::LearnParameters& p = {});

[[nodiscard]] Setup pressed_twice();

struct Arrangement {
    const char* name;
    std::vector<twintrack::sensing::TrackParameters> tracks;
};

inline void PrintTo(const Arrangement& a, std::ostream* out) { *out << a.name; }

[[nodiscard]] std::vector<Arrangement> arrangements();

}  // namespace rig
