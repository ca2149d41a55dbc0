// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/core/time.hpp"

namespace twintrack {

enum class Status { completed, interrupted, numerical_failure, unit_failure };

[[nodiscard]] constexpr const char* name(Status s) noexcept {
    switch (s) {
        case Status::completed:
            return "completed";
        case Status::interrupted:
            return "interrupted";
        case Status::numerical_failure:
            return "numerical failure";
        case Status::unit_failure:
            return "unit failed";
    }
    return "";
}

/// How a run ended: always stated, never silent.
struct Outcome {
    Status status = Status::completed;
    Time when{};         ///< simulated time at which the run ended
    std::string reason;  ///< one sentence; empty when completed

    [[nodiscard]] bool ok() const noexcept { return status == Status::completed; }
};

}  // namespace twintrack
