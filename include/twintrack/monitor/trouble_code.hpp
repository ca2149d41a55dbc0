// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/core/time.hpp"

namespace twintrack::monitor {

/// A code of SAE J2012 / ISO 15031-6 with its failure-type byte (J2012-DA), read from public lists of the standard.
struct TroubleCode {
    std::string code;          ///< "P2135"
    std::string failure_type;  ///< two hex digits, "62" signal compare failure
    std::string meaning;       ///< generic definition
    Time confirmed{};          ///< since key-on

    [[nodiscard]] std::string text() const { return code + "-" + failure_type; }
};

enum class Assembly { pedal, throttle };

[[nodiscard]] TroubleCode range_low(Assembly a, std::size_t track);
[[nodiscard]] TroubleCode range_high(Assembly a, std::size_t track);
[[nodiscard]] TroubleCode correlation(Assembly a, std::size_t first, std::size_t second);
[[nodiscard]] TroubleCode deviation();
[[nodiscard]] TroubleCode not_learned();

}  // namespace twintrack::monitor
