// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/core/record.hpp"

namespace twintrack::study {

/// What formulas are evaluated on: the signals of a record, and more beside them: signals computed from those, and
/// figures of the pair (signals that never change).
class Trace {
public:
    /// Borrows the record, which must outlive it. Throws InvalidParameter for times that are no numbers or decrease.
    explicit Trace(const Record& record);
    explicit Trace(Record&&) = delete;

    /// Throws InvalidParameter when the name is taken or the length is not that of the record.
    void add(const std::string& name, std::vector<double> column);
    void add(const std::string& name, double figure);

    [[nodiscard]] std::size_t size() const noexcept { return microseconds_.size(); }
    [[nodiscard]] const std::vector<std::int64_t>& microseconds() const noexcept { return microseconds_; }
    [[nodiscard]] std::optional<std::span<const double>> find(const std::string& name) const;
    [[nodiscard]] const Record& record() const noexcept { return *record_; }

private:
    const Record* record_;
    std::vector<std::int64_t> microseconds_;
    std::map<std::string, std::vector<double>> more_;
};

/// A record with the further signals of the rules. Shares are of blade or pedal travel, as in the record.
///
///     default_opening    where the springs leave the unpowered blade
///     idle_opening       the largest of that, of the pedal map's value at rest and of the idle governor's,
///                        plus 2 % (this bench's own)
///     braking_opening    the opening that is permitted while braking
///     brake.outside      [V] how far the brake's signal lies outside its band; only when there is a brake
///     device.undervoltage [V] what the independent device's supply is short of; only when there is such a device
///     speed_limit        [rad/s] to which the reaction in force limits the engine; 0: it does not
///     pedal.tracks       number of tracks; throttle.tracks
///     pedal.outside      [V] how far a track lies outside the monitor's electrical band; throttle.outside
///     pedal.mismatch     how far two tracks disagree by the learned range; throttle.mismatch; only when learned
///
/// Of two tracks the worse counts (outside); of three, two may go on when they agree (student-competition rules 2024,
/// T.4.2.6, IC.4.4.5), so the second worst counts, and of the three pairs the one that agrees best. A pair with a track
/// outside the band disagrees by 1.
[[nodiscard]] Trace observed(const Record& record, const bench::BenchParameters& parameters,
                             const std::optional<control::LearnedRange>& learned);

}  // namespace twintrack::study
