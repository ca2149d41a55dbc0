// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/range_store.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "support/draw.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;

LearnedRange range(double shift = 0.0) {
    LearnedRange r{.pedal = {straight_track(0.15 + shift, 0.78), straight_track(0.075, 0.39)},
                   .throttle = {straight_track(0.12, 0.88), straight_track(0.88, 0.12), straight_track(0.1, 0.5)},
                   .default_opening = 0.08,
                   .pedal_name = "one",
                   .body_name = "two",
                   .supply = 13.2,
                   .learned_at = 16.0,
                   .count = 1};
    r.throttle[1].curve[7] += 0.001;
    return r;
}

RangeStore written(const LearnedRange& first, const LearnedRange& second) {
    RangeStore store(first);
    store.begin(second);
    EXPECT_TRUE(store.write(1 << 20));
    return store;
}

TEST(Record, GivesBackWhatWasPutIn) {
    const StoredRange back = decode(encode(range()));
    EXPECT_EQ(back.state, MemoryState::good);
    EXPECT_EQ(back.range, range());
}

/// CRC-32 of the nine digits "123456789" is CBF43926, the check value that its published definition states: the record
/// of a known content must end in what the same polynomial gives, computed here bit by bit.
TEST(Record, ChecksumIsTheCommonCrc32) {
    const auto crc = [](std::span<const std::uint8_t> bytes) {
        std::uint32_t sum = 0xFFFFFFFF;
        for (const std::uint8_t byte : bytes) {
            sum ^= byte;
            for (int i = 0; i < 8; ++i) sum = (sum >> 1) ^ ((sum & 1) ? 0xEDB88320 : 0);
        }
        return ~sum;
    };
    const Bytes digits = {'1', '2', '3', '4', '5', '6', '7', '8', '9'};
    ASSERT_EQ(crc(digits), 0xCBF43926);
    const Bytes bytes = encode(range());
    EXPECT_EQ(checksum(range()), crc(std::span(bytes).first(bytes.size() - 5)));
}

TEST(Record, NoFlippedBitIsBelieved) {
    const Bytes whole = encode(range());
    for (std::size_t i = 0; i < whole.size(); ++i)
        for (int bit = 0; bit < 8; ++bit) {
            Bytes bytes = whole;
            bytes[i] = static_cast<std::uint8_t>(bytes[i] ^ (1 << bit));
            const StoredRange read = decode(bytes);
            ASSERT_NE(read.state, MemoryState::good) << "byte " << i << ", bit " << bit;
            ASSERT_FALSE(read.range.has_value());
        }
}

TEST(Record, AnotherVersionOrSomethingElseIsForeign) {
    Bytes bytes = encode(range());
    bytes[4] = 2;
    EXPECT_EQ(decode(bytes).state, MemoryState::foreign);
    EXPECT_EQ(decode(Bytes{1, 2, 3, 4, 0xA5}).state, MemoryState::foreign);
    EXPECT_EQ(decode(Bytes{}).state, MemoryState::empty);
}

TEST(Record, RefusesToWriteWhatCannotBeARange) {
    LearnedRange bad = range();
    bad.pedal.pop_back();
    EXPECT_THROW((void)encode(bad), InvalidParameter);
    bad = range();
    bad.supply = std::numeric_limits<double>::quiet_NaN();
    EXPECT_THROW((void)encode(bad), InvalidParameter);
}

TEST(Record, CutsALongNameBetweenCharacters) {
    LearnedRange r = range();
    r.pedal_name.clear();
    for (int i = 0; i < 100; ++i) r.pedal_name += "…";  // three bytes each
    EXPECT_EQ(decode(encode(r)).range->pedal_name.size(), 255u);
    r.pedal_name.insert(0, "x");
    EXPECT_EQ(decode(encode(r)).range->pedal_name.size(), 253u);
}

TEST(RangeStore, RandomBytesAreNeverARange) {
    support::Draw draw(3);
    for (int n = 0; n < 1000; ++n) {
        Bytes bytes(static_cast<std::size_t>(draw.uniform(0.0, 2000.0)));
        for (auto& b : bytes) b = static_cast<std::uint8_t>(draw.uniform(0.0, 256.0));
        if (n % 2 == 0 && !bytes.empty()) bytes.back() = 0xA5;
        EXPECT_FALSE(decode(bytes).range.has_value());
    }
}

TEST(RangeStore, ACutAfterAnyByteLeavesOneOfTheTwoWhole) {
    const LearnedRange old = range(), next = range(0.05);
    RangeStore store(old);
    store.begin(next);
    std::size_t bytes = 0;
    for (bool complete = false; !complete; ++bytes) {
        EXPECT_EQ(store.read().range, old) << "after byte " << bytes;
        complete = store.write(1);
    }
    EXPECT_EQ(bytes, encode(next).size());
    ASSERT_EQ(store.read().state, MemoryState::good);
    EXPECT_EQ(store.read().range->pedal, next.pedal);
    EXPECT_EQ(store.read().range->count, 2);
}

TEST(RangeStore, ACutOfTheFirstWriteLeavesNothing) {
    RangeStore store;
    EXPECT_EQ(store.read().state, MemoryState::empty);
    store.begin(range());
    EXPECT_FALSE(store.write(100));
    EXPECT_EQ(store.read().state, MemoryState::unfinished);
    store.begin(range());
    EXPECT_TRUE(store.write(1 << 20));
    EXPECT_EQ(store.read().range, range());
}

TEST(RangeStore, ManyWritesTakeTurns) {
    RangeStore store;
    for (int n = 1; n <= 5; ++n) {
        store.begin(range(0.01 * n));
        EXPECT_TRUE(store.write(1 << 20));
        EXPECT_EQ(store.read().range->count, n);
        EXPECT_EQ(store.read().range->pedal, range(0.01 * n).pedal);
    }
}

/// Damage must not bring back what was learned before: that range may belong to other parts.
TEST(RangeStore, ADamagedRecordIsRefusedAndNotReplacedByAnOlderOne) {
    RangeStore store = written(range(), range(0.05));
    const std::size_t in_force = store.slot(0).empty() ? 1 : 0;
    Bytes bytes = store.slot(in_force);
    bytes[100] ^= 0x10;
    store.put(in_force, bytes);
    EXPECT_EQ(store.read().state, MemoryState::damaged);
    store.put(in_force, encode(range(0.05)));
    store.put(1 - in_force, bytes);
    EXPECT_EQ(store.read().state, MemoryState::damaged) << "a damaged one beside it may have been the newer";
}

}  // namespace
