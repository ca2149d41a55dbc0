// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/signals.hpp"
#include "twintrack/bench/engine_loop.hpp"

#include "snapshot_signals.hpp"

namespace twintrack::bench {

std::vector<Signal> recorded_signals(bool with_engine) {
    std::vector<Signal> all = names_of(chain_signals<SnapshotSignals>);
    const auto more = EngineLoop::signals();
    if (with_engine) all.insert(all.end(), more.begin(), more.end());
    return all;
}

}  // namespace twintrack::bench
