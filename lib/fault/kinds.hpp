// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/fault/fault.hpp"

namespace twintrack::fault {

/// How an entry of the catalogue acts, in the order of the catalogue.
struct Action {
    double identity;  ///< amount that changes nothing
    void (*apply)(Effects& effects, std::size_t index, double amount, Time since);
    std::size_t index;  ///< which track or profile, where it is one's
};

[[nodiscard]] const std::vector<Action>& actions();

}  // namespace twintrack::fault
