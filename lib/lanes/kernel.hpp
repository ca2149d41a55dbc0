// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <cstdint>

#include "twintrack/plant/orifice.hpp"
#include "twintrack/wiring/port_law.hpp"

/// The lanes' inner loop, compiled once for each instruction set and chosen when the program runs. Only plain memory
/// crosses this border: code for a processor that is not there must never be shared with the rest of the program.
namespace twintrack::lanes {

/// What the harnesses of a block have in common. What is read: the tracks at the converter, the reference pins,
/// internal supply, controller's supply, motor; clamps and regulators.
struct NetShape {
    int pedal_tracks = 0, throttle_tracks = 0, pedal_feeds = 0, throttle_feeds = 0, variables = 0, elements = 0;

    [[nodiscard]] constexpr int legs() const noexcept { return pedal_tracks + throttle_tracks; }
    [[nodiscard]] constexpr int internal() const noexcept {
        return pedal_tracks + throttle_tracks + pedal_feeds + throttle_feeds;
    }
    [[nodiscard]] constexpr wiring::PortCounts counts() const noexcept {
        return {legs() + 2 + variables, 4, internal() + 3, elements};
    }
    bool operator==(const NetShape&) const = default;
};

/// What the lanes of a block have in common.
struct Shape {
    int pedal_tracks = 2, throttle_tracks = 2;  ///< most of any lane
    int pieces = 1;                             ///< of a track's table, most of any lane
    int map_pieces = 1;                         ///< of a pedal map, most of any lane
    int substeps = 5;                           ///< per tick
    const double* curves = nullptr;             ///< learned readings: [pedal, throttle][track][knot][lane]
    bool wired = false;                         ///< some lane has a harness
    NetShape net{};                             ///< most of any lane
    int engine_steps = 0;                       ///< per tick; 0: no lane has an engine
    double* engines = nullptr;                  ///< their delays and tables (engine_fields.hpp), a row a lane
    bool ordered = false;                       ///< some lane sleeps under orders, or in windows turned round
    bool led = false;                           ///< some lane uses other tracks than the first
    bool anchored = false;                      ///< some lane checks for a stationary track
    double* history = nullptr;                  ///< rows of the pedal's counts, where some lane has a function monitor
    plant::Orifice orifice{};                   ///< of their throttles
    const double* wires = nullptr;              ///< coefficients of the nets: [register][place][lane of the register]
    const double* net_of_all = nullptr;         ///< [place], where every net of the block has the same; else null
};

/// Lanes as bits.
using LaneBits = std::uint64_t;

/// A plain number is a single lane.
[[nodiscard]] inline LaneBits bits(bool condition) noexcept { return condition ? 1 : 0; }

/// How far a block got.
struct Progress {
    int ticks = 0;       ///< made
    LaneBits flagged{};  ///< lanes that need their controller run one by one; their tick is due from act() on
    LaneBits failed{};   ///< lanes whose state is no longer finite
};

struct Kernel {
    const char* name;  ///< of the instruction set
    int lanes;
    int width;          ///< of a register
    std::size_t bytes;  ///< of a block
    /// Ticks until `most` are made or a lane needs the host.
    Progress (*run)(void* block, const Shape& shape, int most);
    /// The parts of a tick: sensors and converter; control of the lanes that need no host (the others are returned in
    /// the mask); the body to the next tick.
    void (*sense)(void* block, const Shape& shape);
    LaneBits (*act)(void* block, const Shape& shape);
    LaneBits (*advance)(void* block, const Shape& shape);
    /// The parts that a block with harnesses has besides: tracks to the converter's inputs, and the converter; the
    /// bridge to the motor. They return in the mask lanes of which a clamp or regulator leaves its segment.
    LaneBits (*join)(void* block, const Shape& shape);
    void (*convert)(void* block, const Shape& shape);
    LaneBits (*drive)(void* block, const Shape& shape);
};

[[nodiscard]] Kernel baseline_kernel();
#ifdef TWINTRACK_LANES_X86
[[nodiscard]] Kernel avx2_kernel();
[[nodiscard]] Kernel avx512_kernel();
#endif

}  // namespace twintrack::lanes
