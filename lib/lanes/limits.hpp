// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <limits>

#include "block.hpp"
#include "twintrack/bench/independent_supervision.hpp"
#include "twintrack/lanes/run.hpp"
#include "twintrack/monitor/monitor.hpp"

/// Limits that pass a lane to the host, from the checks that its monitor still makes.
namespace twintrack::lanes {

/// A limit that is never reached, an instant that is never reached.
inline constexpr double never = std::numeric_limits<double>::infinity();

/// A reading's place relative to the electrical band.
enum class Place { within, below, above };

/// Readings at which a track is to the function monitor what it is.
struct Window {
    double low = -never, high = never;
};

struct PendingChecks {
    monitor::Monitor::Open open;
    /// A track that is lost outside the band stays there.
    std::array<std::array<Place, sensing::max_tracks>, 2> places{};
    std::array<control::Readings, 2> readings{};
    std::array<bool, 2> doubted{};  ///< one of two tracks is, as long as they are apart (AssemblyMonitor::doubted)
    std::array<std::array<Window, sensing::max_tracks>, 2> windows{};
    bool foot = true;  ///< the controller uses the pedal: its first track as long as the others agree
};

/// Every check that the parameters enable.
[[nodiscard]] PendingChecks all_pending(const bench::BenchParameters& p);
/// What is left of that when `m` is settled; `in`: the samples of its last tick.
[[nodiscard]] PendingChecks pending_checks(const bench::BenchParameters& p, const monitor::Monitor& m,
                                           const control::Input& in);

void set_limits(const Case& c, const PendingChecks& s, Time period, LaneFields<double>& f);
/// What function monitor and device find nothing in, as they see the samples `in`; nothing where there are none. False
/// when the function monitor goes by a track that the lane cannot follow.
[[nodiscard]] bool set_supervision(const bench::BenchParameters& p, const bench::IndependentSupervision* look,
                                   const control::Input& in, PendingChecks& s, LaneFields<double>& f);
/// Nothing but the limits of `f`.
void put_limits(const LaneFields<double>& f, std::size_t lane, Block& block);

}  // namespace twintrack::lanes
