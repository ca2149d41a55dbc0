// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/parameters.hpp"

#include <cmath>

#include "twintrack/core/error.hpp"
#include "twintrack/core/time.hpp"

namespace twintrack::bench {

void check(const BenchParameters& p, const std::string& path) {
    const auto where = [&](const char* name) { return path.empty() ? std::string(name) : path + "." + name; };
    const Time control = from_seconds(p.control_period), record = from_seconds(p.record_period);
    if (std::fabs(seconds(control) - p.control_period) > 1e-12)
        throw InvalidParameter(where("control_period"),
                               "must be a whole number of microseconds; got " + std::to_string(p.control_period * 1e6));
    if (record.count() % control.count() != 0)
        throw InvalidParameter(where("record_period"), "must be a whole multiple of the control period (" +
                                                           std::to_string(control.count()) + " us); got " +
                                                           std::to_string(record.count()) + " us");
    if (!p.wiring.pin_out.empty()) wiring::check_pin_out(p.wiring.pin_out, p.pedal, p.body);
}

void check(const WiringParameters& p, const std::string& path) {
    if (p.kind == WiringKind::ideal && !p.pin_out.empty())
        throw InvalidParameter((path.empty() ? "" : path + ".") + "pin_out",
                               "a pin-out needs the wiring 'harness'; this is 'ideal'");
}

wiring::PinOut pin_out(const WiringParameters& p, const sensing::PedalParameters& pedal,
                       const sensing::ThrottleBodyParameters& body) {
    return p.pin_out.empty() ? wiring::correct_pin_out(pedal, body) : p.pin_out;
}

std::vector<std::string> remarks(const BenchParameters& p) {
    return wiring::remarks(pin_out(p.wiring, p.pedal, p.body), p.pedal, p.body);
}

}  // namespace twintrack::bench
