// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <span>
#include <string>

#include "twintrack/monitor/parameters.hpp"

/// Which of the monitor's checks a lane may sleep through.
namespace twintrack::lanes {

/// A check that a sleeping lane does not miss, by its path in MonitorParameters.
struct LaneCheck {
    const char* path;
    /// It may count up and down (Counting::counter): what it counts is zero whenever its lane sleeps.
    bool may_count;
    const char* why;  ///< what wakes the lane, or why nothing need
};

/// All of them. A check missing here fails safe: the host decides every tick of a case that makes it.
[[nodiscard]] std::span<const LaneCheck> lane_checks();

/// Path of the first check of `m` that is made and that a sleeping lane would miss; empty when there is none.
[[nodiscard]] std::string missed_check(const monitor::MonitorParameters& m);

}  // namespace twintrack::lanes
