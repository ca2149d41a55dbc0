// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/range_store.hpp"

#include <algorithm>
#include <bit>
#include <boost/crc.hpp>
#include <concepts>

#include "twintrack/core/error.hpp"

namespace twintrack::control {

namespace {

constexpr std::array<std::uint8_t, 4> mark = {'R', 'N', 'G', 'E'};
constexpr std::uint8_t seal = 0xA5;
constexpr std::size_t tail = 5;  // checksum and seal

template <std::unsigned_integral T>
void put(Bytes& out, T value) {
    for (std::size_t i = 0; i < sizeof(T); ++i) out.push_back(static_cast<std::uint8_t>(value >> (8 * i)));
}

void put(Bytes& out, double value) { put(out, std::bit_cast<std::uint64_t>(value)); }

void put(Bytes& out, const std::string& text) {
    std::size_t length = std::min<std::size_t>(text.size(), 255);
    while (length < text.size() && (text[length] & 0xC0) == 0x80) --length;  // never inside a UTF-8 character
    put(out, static_cast<std::uint8_t>(length));
    out.insert(out.end(), text.begin(), text.begin() + static_cast<std::ptrdiff_t>(length));
}

/// Takes values off the front; a value that is not all there leaves `ok` false and is zero.
struct Reader {
    std::span<const std::uint8_t> rest;
    bool ok = true;

    std::span<const std::uint8_t> take(std::size_t count) {
        ok = ok && count <= rest.size();
        if (!ok) return {};
        const auto front = rest.first(count);
        rest = rest.subspan(count);
        return front;
    }
    template <std::unsigned_integral T>
    T integer() {
        T value = 0;
        const auto bytes = take(sizeof(T));
        for (std::size_t i = 0; i < bytes.size(); ++i) value = static_cast<T>(value | (T{bytes[i]} << (8 * i)));
        return value;
    }
    double number() { return std::bit_cast<double>(integer<std::uint64_t>()); }
    std::string text() {
        const auto bytes = take(integer<std::uint8_t>());
        return {bytes.begin(), bytes.end()};
    }
    std::vector<LearnedTrack> tracks(std::size_t count) {
        std::vector<LearnedTrack> all(count);
        for (LearnedTrack& t : all)
            for (double& reading : t.curve) reading = number();
        return all;
    }
};

std::uint32_t crc(std::span<const std::uint8_t> bytes) {
    boost::crc_32_type sum;
    sum.process_bytes(bytes.data(), bytes.size());
    return sum.checksum();
}

StoredRange contents(std::span<const std::uint8_t> body) {
    Reader in{body.subspan(mark.size() + 6)};
    LearnedRange r;
    r.count = static_cast<int>(in.integer<std::uint32_t>() & 0x7FFFFFFF);
    r.learned_at = in.number();
    r.supply = in.number();
    r.default_opening = in.number();
    const std::size_t pedal = in.integer<std::uint8_t>(), throttle = in.integer<std::uint8_t>();
    if (pedal > sensing::max_tracks || throttle > sensing::max_tracks) return {MemoryState::damaged, {}};
    r.pedal = in.tracks(pedal);
    r.throttle = in.tracks(throttle);
    r.pedal_name = in.text();
    r.body_name = in.text();
    if (!in.ok || !in.rest.empty()) return {MemoryState::damaged, {}};
    try {
        check(r, "record");
    } catch (const InvalidParameter&) {
        return {MemoryState::damaged, {}};
    }
    return {MemoryState::good, std::move(r)};
}

}  // namespace

Bytes encode(const LearnedRange& range) {
    check(range, "learned");
    Bytes out(mark.begin(), mark.end());
    put(out, static_cast<std::uint16_t>(record_version));
    put(out, std::uint32_t{0});  // length, known at the end
    put(out, static_cast<std::uint32_t>(range.count));
    for (const double value : {range.learned_at, range.supply, range.default_opening}) put(out, value);
    put(out, static_cast<std::uint8_t>(range.pedal.size()));
    put(out, static_cast<std::uint8_t>(range.throttle.size()));
    for (const auto* tracks : {&range.pedal, &range.throttle})
        for (const LearnedTrack& t : *tracks)
            for (const double reading : t.curve) put(out, reading);
    put(out, range.pedal_name);
    put(out, range.body_name);
    Bytes length;
    put(length, static_cast<std::uint32_t>(out.size() + tail));
    std::copy(length.begin(), length.end(), out.begin() + mark.size() + 2);
    put(out, crc(out));
    out.push_back(seal);
    return out;
}

StoredRange decode(std::span<const std::uint8_t> bytes) {
    if (bytes.empty()) return {};
    if (bytes.back() != seal) return {MemoryState::unfinished, {}};
    Reader in{bytes};
    const auto front = in.take(mark.size());
    if (!in.ok || !std::equal(mark.begin(), mark.end(), front.begin())) return {MemoryState::foreign, {}};
    const int version = in.integer<std::uint16_t>();
    const std::size_t length = in.integer<std::uint32_t>();
    if (!in.ok) return {MemoryState::unfinished, {}};
    if (version != record_version) return {MemoryState::foreign, {}};
    if (length > bytes.size()) return {MemoryState::unfinished, {}};
    if (length < bytes.size() || bytes.size() < mark.size() + 6 + tail) return {MemoryState::damaged, {}};
    const auto body = bytes.first(bytes.size() - tail);
    Reader sum{bytes.subspan(body.size(), 4)};
    if (sum.integer<std::uint32_t>() != crc(body)) return {MemoryState::damaged, {}};
    return contents(body);
}

std::uint32_t checksum(const LearnedRange& range) {
    const Bytes bytes = encode(range);
    return crc(std::span(bytes).first(bytes.size() - tail));
}

RangeStore::RangeStore(const LearnedRange& range) { slots_[0] = encode(range); }

void RangeStore::begin(LearnedRange range) {
    const StoredRange now = read();
    range.count = now.range ? now.range->count + 1 : 1;
    target_ = 0;
    if (now.range) {  // the slot of the record in force stays as it is
        const StoredRange first = decode(slots_[0]);
        target_ = first.range && first.range->count == now.range->count ? 1 : 0;
    }
    pending_ = encode(range);
    slots_[target_].clear();
}

bool RangeStore::write(std::size_t bytes) {
    Bytes& slot = slots_[target_];
    const std::size_t end = std::min(pending_.size(), slot.size() + bytes);
    for (std::size_t i = slot.size(); i < end; ++i) slot.push_back(pending_[i]);
    if (slot.size() < pending_.size()) return false;
    slots_[1 - target_].clear();
    return true;
}

StoredRange RangeStore::read() const {
    StoredRange best;
    for (const Bytes& bytes : slots_) {
        StoredRange here = decode(bytes);
        if (here.state == MemoryState::damaged || here.state == MemoryState::foreign) return here;
        if (here.state == MemoryState::empty || best.state == MemoryState::good) {
            if (here.range && here.range->count > best.range->count) best = std::move(here);
            continue;
        }
        best = std::move(here);
    }
    return best;
}

}  // namespace twintrack::control
