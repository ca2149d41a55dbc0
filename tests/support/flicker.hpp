// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <vector>

#include "twintrack/fault/fault.hpp"

namespace support {

/// Both tracks of an assembly ("pedal", "throttle") at 0 V for 30 ms of every 200, `times` times from `from` on: no
/// check of one track sees its fault for 100 ms.
[[nodiscard]] inline std::vector<twintrack::fault::Fault> flicker(const std::string& assembly, twintrack::Time from,
                                                                  int times) {
    std::vector<twintrack::fault::Fault> all;
    for (; times > 0; --times, from += twintrack::milliseconds(200))
        for (const char* track : {".track1", ".track2"})
            all.push_back({.where = assembly + track,
                           .what = "offset",
                           .from = from,
                           .to = from + twintrack::milliseconds(30),
                           .amount = -1.0});
    return all;
}

}  // namespace support
