// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/bench/session.hpp"

namespace twintrack::bench {

/// Adds the values of the signals that every session records, in their order.
void append_chain(const Snapshot& s, std::vector<double>& row);

}  // namespace twintrack::bench
