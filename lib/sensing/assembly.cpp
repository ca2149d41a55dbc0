// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/sensing/assembly.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::sensing {

namespace {

void require_name(const std::string& name, const std::string& path) {
    if (name.empty()) throw InvalidParameter(dotted(path, "name"), "a part needs a name");
}

void add_sensors(std::vector<Terminal>& all, Supply supply, std::size_t tracks, const std::string& connector) {
    if (supply == Supply::shared) {
        all.push_back({"reference", connector});
        all.push_back({"return", connector});
    }
    for (std::size_t k = 1; k <= tracks; ++k) {
        const std::string number = " " + std::to_string(k);
        if (supply == Supply::separate) {
            all.push_back({"reference" + number, connector});
            all.push_back({"return" + number, connector});
        }
        all.push_back({"signal" + number, connector});
    }
}

}  // namespace

void check(const IdleSwitchParameters& p, const std::string& path) {
    if (p.hysteresis >= p.opens_at)
        throw InvalidParameter(path + ".hysteresis", "must be less than opens_at (" + std::to_string(p.opens_at) +
                                                         "), or the switch never closes; got " +
                                                         std::to_string(p.hysteresis));
}

bool IdleSwitch::step(double travel) noexcept {
    pressed_ = travel > (pressed_ ? p_.opens_at - p_.hysteresis : p_.opens_at);
    return pressed_;
}

void check(const PedalParameters& p, const std::string& path) { require_name(p.name, path); }

void check(const ThrottleBodyParameters& p, const std::string& path) { require_name(p.name, path); }

std::vector<Terminal> terminals(const PedalParameters& p) {
    std::vector<Terminal> all;
    add_sensors(all, p.supply, p.tracks.size(), "main");
    return all;
}

std::vector<Terminal> terminals(const ThrottleBodyParameters& p) {
    const bool split = p.connectors == Connectors::split;
    const std::string motor = split ? "motor" : "main";
    std::vector<Terminal> all = {{"motor +", motor}, {"motor -", motor}};
    add_sensors(all, p.supply, p.tracks.size(), split ? "sensors" : "main");
    return all;
}

}  // namespace twintrack::sensing
