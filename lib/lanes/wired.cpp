// SPDX-License-Identifier: BSD-3-Clause
// The harness of a case in its lane.
#include "lane_case.hpp"

namespace twintrack::lanes {

using plant::BridgeMode;
using wiring::HarnessLaw;

namespace {

/// Row of each source and each read of a harness in the law that the block's lanes share.
struct Places {
    std::vector<int> sources, probes;  ///< −1: not read in lanes
};

Places places(const HarnessLaw& law, const NetShape& shape) {
    Places p;
    const auto row = [](std::vector<int>& list, int first, int count) {
        for (int k = 0; k < count; ++k) list.push_back(first + k);
    };
    row(p.sources, 0, law.pedal_tracks);
    row(p.sources, shape.pedal_tracks, law.throttle_tracks);
    row(p.sources, shape.legs(), law.counts.sources - law.pedal_tracks - law.throttle_tracks);
    p.probes = {shape.internal(), shape.internal() + 1, -1, shape.internal() + 2};
    row(p.probes, 0, law.pedal_tracks);
    row(p.probes, shape.pedal_tracks, law.throttle_tracks);
    row(p.probes, shape.legs(), law.pedal_feeds);
    row(p.probes, shape.legs() + shape.pedal_feeds, law.throttle_feeds);
    return p;
}

class Writer {
public:
    Writer(Block& block, std::size_t lane, const HarnessLaw& law, const NetShape& shape)
        : block_(block), lane_(lane), law_(law), own_(law.counts), all_(shape.counts()), places_(places(law, shape)) {
        for (int f = 0; f < all_.total(); ++f) to(f) = 0.0;
    }

    void sources() {
        for (int k = 0; k < own_.sources; ++k) {
            const int there = places_.sources[static_cast<std::size_t>(k)];
            for (int l = 0; l <= k; ++l) copy(own_.pair(k, l), all_.pair(there, at(l)), 4);
            for (int i = 0; i < own_.inputs; ++i) copy(own_.drive(k, i), all_.drive(there, i), 2);
        }
    }

    /// Row `from` of what is read becomes row `row`.
    void read(int from, int row) {
        for (int i = 0; i < own_.inputs; ++i) copy(own_.read(from, i), all_.read(row, i), 1);
        for (int k = 0; k < own_.sources; ++k)
            for (const int half : {0, 1})
                copy(own_.read(from, own_.inputs + 2 * k + half), all_.read(row, all_.inputs + 2 * at(k) + half), 1);
    }

    /// Rows without a pin of this harness repeat another row.
    void repeat(int from, int first, int last) {
        for (int row = first; row < last; ++row) read(from, row);
    }

    void probes() {
        for (int r = 0; r < own_.probes; ++r)
            if (const int row = places_.probes[static_cast<std::size_t>(r)]; row >= 0) read(r, row);
    }

    void elements() {
        for (int e = 0; e < all_.elements; ++e) {
            to(all_.bounds(e)) = -never, to(all_.bounds(e) + 1) = never;
            if (e >= own_.elements) continue;
            copy(own_.bounds(e), all_.bounds(e), 2);
            read(own_.probes + e, all_.probes + e);
        }
    }

    [[nodiscard]] int at(int source) const { return places_.sources[static_cast<std::size_t>(source)]; }

private:
    [[nodiscard]] double& to(int f) { return block_.wire(lane_, static_cast<std::size_t>(f)); }
    void copy(int from, int there, int count) {
        for (int i = 0; i < count; ++i) to(there + i) = law_.coefficients[static_cast<std::size_t>(from + i)];
    }

    Block& block_;
    std::size_t lane_;
    const HarnessLaw& law_;
    wiring::PortCounts own_, all_;
    Places places_;
};

}  // namespace

NetShape net_of(const Case& c, const HarnessLaw& law) {
    NetShape s{law.pedal_tracks, law.throttle_tracks, law.pedal_feeds, law.throttle_feeds, 0, law.counts.elements};
    for (const fault::Fault& f : c.faults) s.variables += f.ramp > Time{} ? 1 : 0;
    s.variables = std::min(s.variables, most_variables);
    return s;
}

wiring::HarnessInput LaneCase::wire_input() const {
    wiring::HarnessInput in;
    in.reference = get(names_.schedule.reference);
    in.supply = get(names_.schedule.battery);
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        in.pedal[k] = get(names_.pedal.tracks[k].share);
        in.throttle[k] = get(names_.throttle.tracks[k].share);
    }
    in.mode = last_command().mode;
    in.duty = get(names_.duty);
    in.motor_current = get(names_.state.x.current);
    return in;
}

std::array<double, 2> LaneCase::feeds() const { return {get(names_.schedule.reference), get(names_.schedule.battery)}; }

/// The faults of the wiring at this tick, and whether the motor has a path then, with the bridge on and off.
void LaneCase::follow_wires() {
    if (!wires_) return;
    wired_for_ = feeds();
    wires_->tick(time());
    const wiring::HarnessInput now = wire_input();
    for (const BridgeMode mode : {BridgeMode::high_impedance, BridgeMode::drive}) {
        wiring::HarnessInput in = now;
        in.mode = mode;
        (void)wires_->drive(in);
        const bool path = wires_->harness()->has_path();
        at(mode == BridgeMode::drive ? names_.wire.path_driven : names_.wire.path_open) = path ? 1.0 : 0.0;
    }
    find_net_segments();
}

void LaneCase::find_net_segments() {
    if (wires_->read(wire_input()).status != wiring::NetStatus::ok)
        fail("the equations of the wiring have no answer");
    else if (shape_)
        put_law();
}

void LaneCase::put_net(const Shape& shape) {
    shape_ = &shape;
    at(names_.wire.there) = wires_ ? 1.0 : 0.0;
    if (wires_) put_law();
}

void LaneCase::put_law() {
    const HarnessLaw law = wires_->harness()->law();
    const NetShape& shape = shape_->net;
    Writer writer(*block_, lane_, law, shape);
    writer.sources(), writer.probes(), writer.elements();
    const int pedal = HarnessLaw::first_free_probe + law.pedal_tracks + law.throttle_tracks;
    const int feeds = shape.legs() + shape.pedal_feeds;
    writer.repeat(pedal, shape.legs() + law.pedal_feeds, feeds);
    writer.repeat(pedal + law.pedal_feeds, feeds + law.throttle_feeds, shape.internal());
    const WireFields<double>& w = names_.wire;
    for (int k = 0; k < most_sources; ++k) at(w.fixed[k]) = 1.0, at(w.track[k]) = 0.0;
    for (int k = 0; k < law.counts.sources; ++k) {
        const auto [fixed, track] = law.resistances[static_cast<std::size_t>(k)];
        at(w.fixed[writer.at(k)]) = fixed, at(w.track[writer.at(k)]) = track;
    }
}

void LaneCase::wired(control::Input& in) const {
    const bool pedal_shares = case_.bench.pedal.supply == sensing::Supply::shared;
    const bool throttle_shares = case_.bench.body.supply == sensing::Supply::shared;
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        in.pedal_reference[k] = get(names_.wire.pedal_reference[pedal_shares ? 0 : k]);
        in.throttle_reference[k] = get(names_.wire.throttle_reference[throttle_shares ? 0 : k]);
    }
    in.motor_current = get(names_.wire.current);
}

}  // namespace twintrack::lanes
