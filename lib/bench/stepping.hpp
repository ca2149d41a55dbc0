// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/bench/learn.hpp"

/// What a run and a learn share.
namespace twintrack::bench {

/// Steps until `last` (inclusive), `done` or an interruption; true when it was interrupted.
[[nodiscard]] bool step_until(Session& session, Time last, const std::function<bool()>& done,
                              const Interrupt& interrupt);

[[nodiscard]] Outcome outcome_of(const Session& session, bool interrupted);

}  // namespace twintrack::bench
