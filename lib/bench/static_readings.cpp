// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/static_readings.hpp"

#include <string>

#include "twintrack/bench/faulted_body.hpp"
#include "twintrack/bench/wires.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/sensing/track.hpp"

namespace twintrack::bench {

namespace {

using TrackEffects = std::array<sensing::TrackEffect, sensing::max_tracks>;

/// Each track on its own fresh play, so that positions are independent.
void read(const std::vector<sensing::TrackParameters>& tracks, double position, const TrackEffects& effects,
          wiring::TrackValues& out) {
    for (std::size_t k = 0; k < tracks.size(); ++k) {
        sensing::TrackParameters still = tracks[k];
        still.hysteresis = 0.0;
        out[k] = sensing::Track(still).read(position, effects[k]);
    }
}

control::Readings shares(const wiring::TrackValues& volts, std::size_t tracks, double reference) {
    control::Readings out{};
    for (std::size_t k = 0; k < tracks; ++k) out[k] = reference > 0.0 ? clamp(volts[k] / reference, 0.0, 1.0) : 0.0;
    return out;
}

}  // namespace

std::vector<StaticReadings> static_readings(const BenchParameters& p, std::span<const double> positions,
                                            const std::vector<fault::Fault>& faults) {
    validate(p);
    const fault::Schedule schedule(faults);
    const fault::Effects effects = schedule.effects(Time{});
    Wires wires(p, schedule, from_seconds(p.control_period));
    wires.tick(Time{});
    wiring::HarnessInput sources;
    sources.supply = battery_voltage(p.supply, effects);
    control::PowerSupply power(p.power, from_seconds(p.control_period));
    power.step(sources.supply, true);
    sources.reference = power.internal(p.reference * effects.reference);
    std::vector<StaticReadings> found;
    for (const double position : positions) {
        require(position, {0.0, 1.0}, "positions", "", "share of travel");
        read(p.pedal.tracks, position, effects.pedal, sources.pedal);
        read(p.body.tracks, position, effects.throttle, sources.throttle);
        const wiring::HarnessOutput out = wires.read(sources);
        if (out.status != wiring::NetStatus::ok)
            throw InvalidParameter("faults", "the equations of the wiring have no answer");
        const double reference = p.acquisition.ratiometric ? out.ends.reference : p.acquisition.nominal_reference;
        found.push_back({out.ends.pedal, out.ends.throttle, shares(out.ends.pedal, p.pedal.tracks.size(), reference),
                         shares(out.ends.throttle, p.body.tracks.size(), reference)});
    }
    return found;
}

}  // namespace twintrack::bench
