// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "net_work.hpp"
#include "noise.hpp"
#include "tick.hpp"
#include "twintrack/wiring/harness.hpp"
#include "twintrack/wiring/pickup.hpp"

/// The harnesses of a block: the law of port_law.hpp, one register at a time, since the net of a lane is some hundred
/// numbers. A lane of which a clamp or regulator leaves its segment is returned in the mask; the host finds the new
/// segments.
namespace twintrack::lanes {

using wiring::HarnessLaw;

/// What drives the nets of a register at this tick.
template <int W, int K>
void set_sources(const LaneFields<Pack<W, K>>& l, const NetShape& net, int k, NetWork<W>& a) noexcept {
    using One = Pack<W, 1>;
    const One zero(0.0), one(1.0);
    int n = 0;
    const auto add = [&](One ratio) {
        a.ratio[n] = ratio;
        a.resistance[n] = wiring::series_resistance(part(l.wire.fixed[n], k), part(l.wire.track[n], k), ratio);
        ++n;
    };
    for (int i = 0; i < net.pedal_tracks; ++i) add(part(l.pedal.tracks[i].share, k));
    for (int i = 0; i < net.throttle_tracks; ++i) add(part(l.throttle.tracks[i].share, k));
    const One mode = part(l.mode, k);
    const auto open = mode > One(1.5);
    const One duty = select(mode < One(0.5), clamp(part(l.duty, k), -one, one), zero);
    add(max(duty, zero)), add(max(-duty, zero));
    for (int leg = net.legs(); leg < net.legs() + 2; ++leg)
        a.resistance[leg] = select(open, One(HarnessLaw::open_leg), a.resistance[leg]);
    for (int i = 0; i < net.variables; ++i) add(zero);
    a.inputs[1] = part(l.schedule.reference, k);
    a.inputs[2] = part(l.schedule.battery, k);
    a.inputs[3] = select(open, part(l.wire.path_open, k), part(l.wire.path_driven, k)) * part(l.state.x.current, k);
}

/// Lanes with a harness whose elements all stay in their segments. The blur is wider than the host's, so that a net
/// which the host has settled counts as settled here.
template <int W, class Counts, class Row, class Good>
[[nodiscard]] auto settled(const Counts& n, const Row& c, NetWork<W>& a, Good good) noexcept {
    using One = Pack<W, 1>;
    One most(1.0);
    for (int e = 0; e < n.elements; ++e) most = max(most, abs(a.reads[n.probes + e]));
    return good & wiring::settled_ports(n, c, a.work(), One(1e-9) * most);
}

/// Stores a register's result where a harness is, and the value of ideal wiring elsewhere.
template <int W, int K>
void put(Pack<W, K>& field, int k, const Mask<W, 1>& there, const Pack<W, 1>& answer,
         const Pack<W, 1>& ideal) noexcept {
    field.r[k] = select(there, answer, ideal).r[0];
}

/// What a register's nets give to the controller. Tracks that no net has belong to lanes without a harness.
template <int W, int K>
void hand_over(LaneFields<Pack<W, K>>& l, const Shape& shape, int k, const NetWork<W>& a) noexcept {
    using One = Pack<W, 1>;
    const NetShape& net = shape.net;
    const auto there = part(l.wire.there, k) > One(0.0);
    const One reference = part(l.schedule.reference, k);
    const One* read = a.reads;
    const auto tracks = [&](AssemblyFields<Pack<W, K>>& side, int joined, int all) {
        for (int i = 0; i < all; ++i) {
            TrackFields<Pack<W, K>>& t = side.tracks[i];
            const One ideal = reference * part(t.share, k);
            put(t.volts, k, there, i < joined ? *read++ : ideal, ideal);
        }
    };
    tracks(l.pedal, net.pedal_tracks, shape.pedal_tracks);
    tracks(l.throttle, net.throttle_tracks, shape.throttle_tracks);
    One least = *read, most = *read;
    const auto feeds = [&](Pack<W, K>* fields, int count) {
        for (int i = 0; i < count; ++i, ++read) {
            least = min(least, *read), most = max(most, *read);
            put(fields[i], k, there, *read, reference);
        }
    };
    feeds(l.wire.pedal_reference, net.pedal_feeds), feeds(l.wire.throttle_reference, net.throttle_feeds);
    put(l.wire.least_reference, k, there, least, reference);
    put(l.wire.most_reference, k, there, most, reference);
    put(l.wire.reference, k, there, a.reads[net.internal()], reference);
    put(l.supply, k, there, a.reads[net.internal() + 1], part(l.supply, k));
    put(l.wire.current, k, there, -a.current[net.legs()], part(l.state.x.current, k));
}

/// The net of the lanes of register k under what drives it; where it could be solved.
template <int W, int K, class Counts, class Row>
[[nodiscard]] auto solved(const LaneFields<Pack<W, K>>& l, const NetShape& net, const Counts& n, int k, const Row& c,
                          NetWork<W>& a) noexcept {
    set_sources(l, net, k, a);
    const auto good = wiring::factor_ports(n, c, a.work());
    wiring::solve_ports(n, c, a.work());
    return good;
}

template <int W, int K, class Counts, class Rows>
[[nodiscard]] LaneBits join_all(LaneFields<Pack<W, K>>& l, const Shape& shape, const Counts& n,
                                const Rows& coefficients) noexcept {
    LaneBits lost = 0;
    for (int k = 0; k < K; ++k) {
        NetWork<W> a;
        const auto c = coefficients(k);
        const auto good = solved(l, shape.net, n, k, c, a);
        wiring::read_ports(n, c, a.work(), 0, n.reads());
        hand_over(l, shape, k, a);
        const auto there = part(l.wire.there, k) > Pack<W, 1>(0.0);
        lost |= bits(there & !settled(n, c, a, good)) << (k * W);
    }
    return lost;
}

/// From the tracks to the converter's inputs.
template <int W, int K>
[[nodiscard]] LaneBits join(LaneFields<Pack<W, K>>& l, const Shape& shape) noexcept {
    return with_nets<W>(shape, [&](const auto& n, const auto& nets) { return join_all(l, shape, n, nets); });
}

/// Filter and converter behind a harness.
template <class T>
void convert(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0);
    const ScheduleFields<T>& s = l.schedule;
    const auto switching = (l.duty < zero) | (l.duty > zero);
    const T swing = select(switching, l.supply, zero);
    const T phase = select(switching, uniform(s.key_seed, s.key_case, l.tick, sensing::channels::switching), zero);
    const T reference = select(s.ratiometric > zero, l.wire.reference, s.nominal);
    const auto one = [&](TrackFields<T>& t) {
        t.filtered = filtered(t, l, t.volts);
        const T disturbed = t.filtered + wiring::disturbance(swing * t.pickup, l.duty, phase);
        take(t, l, sensing::code_share(disturbed, reference, s.full_scale));
    };
    for (int k = 0; k < shape.pedal_tracks; ++k) one(l.pedal.tracks[k]);
    for (int k = 0; k < shape.throttle_tracks; ++k) one(l.throttle.tracks[k]);
}

template <int W, int K, class Counts, class Rows>
[[nodiscard]] LaneBits drive_all(LaneFields<Pack<W, K>>& l, const Shape& shape, const Counts& n,
                                 const Rows& coefficients) noexcept {
    using One = Pack<W, 1>;
    const One zero(0.0), one(1.0), none(HarnessLaw::no_path);
    const int supply = shape.net.internal() + 1, motor = supply + 1;
    LaneBits lost = 0;
    for (int k = 0; k < K; ++k) {
        NetWork<W> a;
        const auto c = coefficients(k);
        const auto good = solved(l, shape.net, n, k, c, a);
        wiring::read_ports(n, c, a.work(), supply, n.reads());
        const auto open = part(l.mode, k) > One(1.5);
        const One path = select(open, part(l.wire.path_open, k), part(l.wire.path_driven, k));
        const One ohms =
            select(path > zero, -wiring::slope_of_ports(n, c, a.work(), motor, HarnessLaw::motor_input), none);
        const auto cut = ohms >= none;
        const auto store = [k](Pack<W, K>& field, const One& value) { field.r[k] = value.r[0]; };
        const One current = part(l.state.x.current, k);
        store(l.wire.voltage,
              select(cut, a.reads[supply] + part(l.schedule.diodes, k), a.reads[motor] + ohms * current));
        store(l.wire.resistance, select(cut, zero, ohms));
        store(l.wire.open, select(cut, one, zero));
        store(l.wire.limit, select(open & !cut, One(HarnessLaw::unlimited), part(l.schedule.limit, k)));
        const auto there = part(l.wire.there, k) > zero;
        lost |= bits(there & !settled(n, c, a, good)) << (k * W);
    }
    return lost;
}

/// From the bridge to the motor, as it has been commanded.
template <int W, int K>
[[nodiscard]] LaneBits drive(LaneFields<Pack<W, K>>& l, const Shape& shape) noexcept {
    return with_nets<W>(shape, [&](const auto& n, const auto& nets) { return drive_all(l, shape, n, nets); });
}

}  // namespace twintrack::lanes
