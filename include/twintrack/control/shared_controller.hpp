// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <memory>
#include <optional>
#include <string>

#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/unit.hpp"
#include "twintrack/core/time.hpp"

namespace twintrack::control {

/// A shared object with a controller written in C (twintrack/c/controller.h). It stays loaded as long as this or a unit
/// made by it lives; units of different threads run at once.
class SharedController {
public:
    /// Loads it, which runs its code. InvalidParameter when it does not load, lacks a function, or was compiled for
    /// another version.
    explicit SharedController(const std::string& path);

    /// A controller for one run. InvalidParameter with its own text when it refuses.
    [[nodiscard]] Unit make(const std::optional<LearnedRange>& learned, Time period) const;

    struct Library;

private:
    std::shared_ptr<const Library> library_;
};

}  // namespace twintrack::control
