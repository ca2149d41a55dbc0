// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/random.hpp"

namespace support {

/// Random numbers that are the same on every machine.
class Draw {
public:
    explicit Draw(std::uint32_t seed) : seed_(seed) {}

    [[nodiscard]] double uniform(double low, double high) {
        const auto words = twintrack::philox({count_++, 0, 0, 0}, {seed_, 0});
        return low + (high - low) * (static_cast<double>(words[0]) * 0x1p-32);
    }

private:
    std::uint32_t seed_;
    std::uint32_t count_ = 0;
};

}  // namespace support
