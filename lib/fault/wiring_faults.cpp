// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/fault/wiring_faults.hpp"

#include <algorithm>

#include "twintrack/core/described.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/wiring/edit.hpp"

namespace twintrack::fault {

namespace {

using wiring::WiringFaultKind;

const Kind* kind_of(const Fault& f) {
    for (const Kind& k : wiring_kinds())
        if (f.what == k.what) return &k;
    return nullptr;
}

bool between_two(const Fault& f) { return f.what == "short_to" || f.what == "exchange"; }
bool pulled_out(const Fault& f) { return f.what == "unplugged"; }

bool at_once(const Fault& f) {
    return f.what == "open" || f.what == "exchange" || f.what == "regulator_voltage" || pulled_out(f);
}

bool stays(const Fault& f) {
    return f.what == "exchange" || f.what == "ground_offset" || f.what == "regulator_offset" ||
           f.what == "regulator_voltage" || pulled_out(f);
}

void check_period(const Fault& f, const std::string& path) {
    if (f.every == Time{0} && f.lasting == Time{0}) return;
    if (stays(f)) throw InvalidParameter(path + ".every", f.what + " does not come and go; leave it at 0");
    require(seconds(f.every), {0.0, 1000.0}, path + ".every", "s", "period of a fault that comes and goes");
    if (f.lasting <= Time{0} || f.every <= f.lasting)
        throw InvalidParameter(path + ".lasting", "must be more than 0 and less than the period 'every' (" +
                                                      std::to_string(f.every.count()) + " us); got " +
                                                      std::to_string(f.lasting.count()) + " us");
}

}  // namespace

const std::vector<Kind>& wiring_kinds() {
    constexpr double most = 1e9;
    static const std::vector<Kind> all = {
        {"a terminal", "open", "", 0.0, 0.0, "contact or wire without connection; takes no amount"},
        {"a terminal", "series", "ohm", 0.0, most, "resistance added in the wire: corrosion, a bad crimp"},
        {"a terminal", "leak", "ohm", 1e-3, most, "resistance to ground: water, carbon"},
        {"a terminal", "short_to_ground", "ohm", 1e-3, most, "resistance to ground"},
        {"a terminal", "short_to_battery", "ohm", 1e-3, most, "resistance to the battery"},
        {"a terminal", "short_to", "ohm", 1e-3, most, "resistance to the terminal 'with'"},
        {"a terminal", "exchange", "", 0.0, 0.0, "contacts of this terminal and of 'with' exchanged; takes no amount"},
        {"controller ground", "ground_offset", "V", -10.0, 10.0, "ground point of the controller against the engine"},
        {"a regulator", "regulator_offset", "V", -5.0, 7.0, "sensor supply of one assembly against what it should be"},
        {"a regulator", "regulator_voltage", "V", 0.0, 16.0,
         "sensor supply of one assembly: 3.3 V, 12 V in place of 5"},
        {"a connector", "unplugged", "", 0.0, 0.0, "connector apart, all its contacts open; takes no amount"}};
    return all;
}

bool in_wiring(const Fault& f) { return kind_of(f) != nullptr; }

wiring::WiringFault edit_of(const Fault& f) {
    for (const auto& [kind, name] : names(Tag<WiringFaultKind>{}))
        if (f.what == name) return {kind, f.where, f.with, f.amount};
    throw InvalidParameter("fault.what", "'" + f.what + "' is no fault of the wiring");
}

std::string sentence(const Fault& f) {
    std::string text = f.what + " of " + f.where;
    if (pulled_out(f)) text = "'" + f.where + "' unplugged";
    if (in_wiring(f) && !pulled_out(f)) text = wiring::sentence(edit_of(f));
    if (f.every > Time{0})
        text += " for " + std::to_string(f.lasting.count()) + " us of each " + std::to_string(f.every.count()) + " us";
    return text;
}

std::vector<Fault> contact_by_contact(const std::vector<Fault>& faults,
                                      const std::vector<sensing::Terminal>& terminals) {
    std::vector<Fault> all;
    std::string known;
    for (std::size_t k = 0; k < terminals.size(); ++k)
        if (k == 0 || terminals[k].connector != terminals[k - 1].connector)
            known += (known.empty() ? "" : ", ") + terminals[k].connector;
    for (const Fault& f : faults) {
        if (!pulled_out(f)) {
            all.push_back(f);
            continue;
        }
        const std::size_t before = all.size();
        for (const sensing::Terminal& t : terminals)
            if (t.connector == f.where) all.push_back({.where = t.name, .what = "open", .from = f.from, .to = f.to});
        if (all.size() == before)
            throw InvalidParameter("faults", sentence(f) + ": there is no such connector; there are: " + known);
    }
    return all;
}

std::vector<Fault> every_single_wiring_fault(const sensing::PedalParameters& pedal,
                                             const sensing::ThrottleBodyParameters& body, Time from) {
    std::vector<Fault> all;
    for (const wiring::WiringFault& f : wiring::every_single_fault(pedal, body))
        all.push_back({.where = f.where, .what = name_of(f.kind), .from = from, .amount = f.amount, .with = f.with});
    return all;
}

void check_wiring_fault(const Fault& f, const std::string& path) {
    const Kind& kind = *kind_of(f);
    require(f.amount, {kind.least, kind.most}, path + ".amount", kind.unit, kind.meaning);
    if (f.where.empty()) throw InvalidParameter(path + ".where", "needs a terminal");
    if (between_two(f) && f.with.empty()) throw InvalidParameter(path + ".with", f.what + " needs a second terminal");
    if (!between_two(f) && !f.with.empty())
        throw InvalidParameter(path + ".with", f.what + " takes no second terminal; got '" + f.with + "'");
    if (!f.with.empty() && f.with == f.where)
        throw InvalidParameter(path + ".with", "must be another terminal than 'where'; got '" + f.with + "' twice");
    if (f.ramp != Time{0} && at_once(f))
        throw InvalidParameter(path + ".ramp", f.what + " is there at once; leave the ramp at 0");
    check_period(f, path);
}

}  // namespace twintrack::fault
