// SPDX-License-Identifier: BSD-3-Clause
#include "inputs.hpp"

#include "twintrack/wiring/pickup.hpp"

namespace twintrack::bench {

namespace {

std::vector<double> pickups(const BenchParameters& p, const std::vector<sensing::TrackParameters>& tracks) {
    std::vector<double> all;
    for (const sensing::TrackParameters& t : tracks)
        all.push_back(
            p.wiring.kind == WiringKind::ideal ? 0.0 : wiring::pickup(p.wiring.harness, t, p.acquisition.filter_time));
    return all;
}

/// Of each track its own pin, or the one that they share.
control::Readings references(control::Readings pins, bool shared) {
    if (shared) pins.fill(pins[0]);
    return pins;
}

}  // namespace

Inputs::Inputs(const BenchParameters& p, Time period)
    : period_(period),
      pedal_shares_(p.pedal.supply == sensing::Supply::shared),
      throttle_shares_(p.body.supply == sensing::Supply::shared),
      pedal_(p.pedal.tracks.size(), sensing::Channel(p.acquisition, period)),
      throttle_(p.body.tracks.size(), sensing::Channel(p.acquisition, period)),
      pedal_pickup_(pickups(p, p.pedal.tracks)),
      throttle_pickup_(pickups(p, p.body.tracks)),
      phase_(static_cast<std::uint32_t>(p.seed), static_cast<std::uint32_t>(p.case_number),
             sensing::channels::switching) {}

bool Inputs::sample(Wires& wires, const wiring::HarnessInput& sources, std::int64_t tick, Snapshot& now) {
    const bool moving = wires.moving();
    if (moving && !look_back(wires, sources, now.time)) return false;
    const wiring::HarnessOutput out = wires.read(sources);
    if (out.status != wiring::NetStatus::ok) return false;
    if (!moving) for_each_channel(out.ends, [](sensing::Channel& c, double volts) { c.hold(volts); });
    now.pedal_volts = out.ends.pedal;
    now.throttle_volts = out.ends.throttle;
    now.supply = now.input.supply = out.supply;
    now.input.motor_current = out.motor_current;
    now.input.pedal_reference = references(out.pedal_reference, pedal_shares_);
    now.input.throttle_reference = references(out.throttle_reference, throttle_shares_);
    now.input.time = now.time;
    convert(out.ends.reference, sources.duty, tick, now);
    return true;
}

/// The filters follow the past period with every fault that started or ended in it; the sensors' outputs are taken as
/// they are now.
bool Inputs::look_back(Wires& wires, const wiring::HarnessInput& sources, Time now) {
    Time begin = now - period_;
    for (const Time end : wires.instants(begin, now)) {
        wires.at(begin);
        const wiring::HarnessOutput out = wires.read(sources);
        if (out.status != wiring::NetStatus::ok) return false;
        for_each_channel(out.ends, [&](sensing::Channel& c, double volts) { c.hold(volts, end - begin); });
        begin = end;
    }
    wires.at(now);
    return true;
}

void Inputs::convert(double reference, double duty, std::int64_t tick, Snapshot& now) const {
    const double swing = duty != 0.0 ? now.supply : 0.0;
    const double phase = duty != 0.0 ? phase_.uniform(static_cast<std::uint64_t>(tick)) : 0.0;
    const auto read = [&](const sensing::Channel& c, double pickup) {
        return c.read(reference, wiring::disturbance(swing * pickup, duty, phase));
    };
    for (std::size_t k = 0; k < pedal_.size(); ++k) now.input.pedal[k] = read(pedal_[k], pedal_pickup_[k]);
    for (std::size_t k = 0; k < throttle_.size(); ++k) now.input.throttle[k] = read(throttle_[k], throttle_pickup_[k]);
}

}  // namespace twintrack::bench
