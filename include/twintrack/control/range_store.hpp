// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "twintrack/control/learned_range.hpp"
#include "twintrack/core/described.hpp"

namespace twintrack::control {

using Bytes = std::vector<std::uint8_t>;

/// What a controller finds in its memory at key-on.
enum class MemoryState {
    empty,       ///< nothing was ever written
    unfinished,  ///< a write was interrupted; as good as empty
    good,
    damaged,  ///< a finished record whose checksum does not hold, or whose contents no learn can give
    foreign   ///< a finished record of another version or of something else
};

constexpr std::array<std::pair<MemoryState, const char*>, 5> names(Tag<MemoryState>) {
    using M = MemoryState;
    return {{{M::empty, "empty"},
             {M::unfinished, "unfinished"},
             {M::good, "good"},
             {M::damaged, "damaged"},
             {M::foreign, "foreign"}}};
}

struct StoredRange {
    MemoryState state = MemoryState::empty;
    std::optional<LearnedRange> range{};  ///< when good
};

inline constexpr int record_version = 1;

/// The record as it lies in memory, little end first:
///
///     mark (4) · version (2) · length (4) · count (4) · learned at, supply, default position (8 each, IEEE 754) ·
///     tracks of pedal and throttle (1 each) · their curves (33 · 8 each) · two names (1 + n each) · CRC-32 (4) · seal
///     (1)
///
/// The checksum (CRC-32 as in IEEE 802.3) covers all before it. The seal is written last: without it the write was
/// interrupted. Names are cut to 255 bytes. Throws InvalidParameter for what cannot be a learned range.
[[nodiscard]] Bytes encode(const LearnedRange& range);
[[nodiscard]] StoredRange decode(std::span<const std::uint8_t> bytes);
/// The record's checksum: it shows that a range was changed.
[[nodiscard]] std::uint32_t checksum(const LearnedRange& range);

/// Non-volatile memory with two slots, so that the record in force is never written over.
///
/// A write goes into the slot that is not in force, some bytes at a time; when the seal is in, the older record is
/// erased. Cut the power anywhere: before the seal the old record is in force, from the seal on the new one. Because no
/// older record outlives a complete write, a damaged one is never replaced by a stale one: it is refused.
class RangeStore {
public:
    static constexpr std::size_t slots = 2;

    RangeStore() = default;
    /// A memory that holds `range`.
    explicit RangeStore(const LearnedRange& range);

    /// Starts to write; the count of the record is one more than that of the one in force.
    void begin(LearnedRange range);
    /// Writes up to `bytes` more; true once the record is complete and in force.
    bool write(std::size_t bytes);

    /// What is in force: the good record with the highest count. A damaged or foreign record beside it is refused too.
    [[nodiscard]] StoredRange read() const;

    [[nodiscard]] const Bytes& slot(std::size_t index) const { return slots_.at(index); }
    /// Puts anything into a slot: a copy from elsewhere, or a damaged one.
    void put(std::size_t index, Bytes bytes) { slots_.at(index) = std::move(bytes); }

private:
    std::array<Bytes, slots> slots_;
    Bytes pending_;           ///< the whole record being written
    std::size_t target_ = 0;  ///< slot to be written
};

}  // namespace twintrack::control
