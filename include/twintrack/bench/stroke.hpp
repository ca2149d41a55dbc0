// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/core/table.hpp"
#include "twintrack/core/time.hpp"

namespace twintrack::bench {

/// A pedal movement over time: piecewise linear, held at its ends. Travel 0 is rest, 1 is full.
class Stroke {
public:
    /// `time` [s] increasing from ≥ 0, `travel` 0 … 1; throws InvalidParameter.
    Stroke(std::vector<double> time, std::vector<double> travel);

    /// Rest, half, full, rest; ramps of one second, holds of one and a half: slow enough that a healthy blade is never
    /// 10 % of travel behind a foot that lifts.
    [[nodiscard]] static Stroke rest_half_full_rest();
    /// The foot's part in a range learn: rest while the blade is exercised, then two slow full presses.
    [[nodiscard]] static Stroke two_presses();
    /// Never touched.
    [[nodiscard]] static Stroke rest(double duration);

    [[nodiscard]] double travel(Time t) const noexcept { return table_(seconds(t)); }
    [[nodiscard]] double duration() const noexcept { return table_.x().back(); }
    [[nodiscard]] const Table& table() const noexcept { return table_; }

    /// A time during which the foot holds still.
    struct Hold {
        double from, to;  ///< [s]
        double travel;
    };
    /// All holds of at least `least` seconds, in order.
    [[nodiscard]] std::vector<Hold> holds(double least) const;

private:
    Table table_;
};

}  // namespace twintrack::bench
