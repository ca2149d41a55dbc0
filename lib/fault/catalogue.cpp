// SPDX-License-Identifier: BSD-3-Clause
#include "kinds.hpp"

namespace twintrack::fault {

namespace {

using sensing::TrackEffect;
using TrackEffects = std::array<TrackEffect, sensing::max_tracks>;

struct Entry {
    Kind kind;
    Action action;
};

template <TrackEffects Effects::*side>
void add_track(std::vector<Entry>& all, const char* where, std::size_t k) {
    all.push_back({{where, "offset", "", -1.0, 1.0, "shift of the output, share of the track's supply"},
                   {0.0, [](Effects& e, std::size_t i, double a, Time) { (e.*side)[i].offset += a; }, k}});
    all.push_back({{where, "gain", "", -2.0, 5.0, "factor on the change of the output from rest"},
                   {1.0, [](Effects& e, std::size_t i, double a, Time) { (e.*side)[i].gain *= a; }, k}});
    all.push_back({{where, "noise", "", 0.0, 0.5, "added rms noise, share of the track's supply"},
                   {0.0, [](Effects& e, std::size_t i, double a, Time) { (e.*side)[i].noise = a; }, k}});
    all.push_back({{where, "frozen", "", 0.0, 0.0, "output stays as it was when the fault began; takes no amount"},
                   {0.0, [](Effects& e, std::size_t i, double, Time) { (e.*side)[i].frozen = true; }, k}});
}

/// A box in the pedal's line that alters the signals on their way: of one track or of all.
void add_box(std::vector<Entry>& all, const char* const (&tracks)[sensing::max_tracks]) {
    constexpr const char* line = "pedal.line";
    constexpr double longest = 10.0;  // [s]
    all.push_back({{line, "gain", "", -2.0, 5.0, "box in the line of all pedal tracks: factor on the change from rest"},
                   {1.0,
                    [](Effects& e, std::size_t, double a, Time) {
                        for (TrackEffect& t : e.pedal) t.gain *= a;
                    },
                    0}});
    all.push_back({{line, "offset", "", -1.0, 1.0, "box in the line of all pedal tracks: shift, share of their supply"},
                   {0.0,
                    [](Effects& e, std::size_t, double a, Time) {
                        for (TrackEffect& t : e.pedal) t.offset += a;
                    },
                    0}});
    all.push_back({{line, "lag", "s", 0.0, longest, "box in the line of all pedal tracks: first-order delay"},
                   {0.0,
                    [](Effects& e, std::size_t, double a, Time) {
                        for (double& lag : e.pedal_lag) lag += a;
                    },
                    0}});
    for (std::size_t k = 0; k < sensing::max_tracks; ++k)
        all.push_back({{tracks[k], "lag", "s", 0.0, longest, "box in the line of this track: first-order delay"},
                       {0.0, [](Effects& e, std::size_t i, double a, Time) { e.pedal_lag[i] += a; }, k}});
}

template <double Effects::*member>
void set(Effects& e, std::size_t, double amount, Time) {
    e.*member = amount;
}

void add_body(std::vector<Entry>& all) {
    all.push_back(
        {{"body.closed_stop", "shift", "rad", -0.05, 0.3, "shift of the closed stop, positive: deposits, ice"},
         {0.0, set<&Effects::closed_stop>, 0}});
    all.push_back({{"body.open_stop", "shift", "rad", -1.0, 0.05, "shift of the open stop, negative: blocked short"},
                   {0.0, set<&Effects::open_stop>, 0}});
    all.push_back({{"motor", "heat", "K", -80.0, 160.0, "winding hotter than described; resistance follows"},
                   {0.0, set<&Effects::heat>, 0}});
}

void add_profiles(std::vector<Entry>& all) {
    const std::vector<SupplyProfile>& profiles = supply_profiles();
    for (std::size_t k = 0; k < profiles.size(); ++k)
        all.push_back({{"supply", profiles[k].name, "", 0.0, 0.0, profiles[k].meaning},
                       {0.0,
                        [](Effects& e, std::size_t i, double, Time since) {
                            e.battery = imposed_voltage(supply_profiles()[i], since);
                        },
                        k}});
}

std::vector<Entry> build() {
    std::vector<Entry> all;
    constexpr const char* pedal[] = {"pedal.track1", "pedal.track2", "pedal.track3"};
    constexpr const char* throttle[] = {"throttle.track1", "throttle.track2", "throttle.track3"};
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) add_track<&Effects::pedal>(all, pedal[k], k);
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) add_track<&Effects::throttle>(all, throttle[k], k);
    all.push_back({{"body.return_spring", "scale", "", 0.0, 3.0, "factor on the return spring; 0 is broken"},
                   {1.0, set<&Effects::return_spring>, 0}});
    all.push_back({{"body.opener_spring", "scale", "", 0.0, 3.0, "factor on the opener spring; 0 is broken"},
                   {1.0, set<&Effects::opener_spring>, 0}});
    all.push_back({{"body.friction", "scale", "", 0.05, 20.0, "factor on the friction at the blade shaft"},
                   {1.0, set<&Effects::friction>, 0}});
    all.push_back({{"blade", "torque", "N*m", -10.0, 10.0, "torque on the blade from outside, opening positive"},
                   {0.0, set<&Effects::external_torque>, 0}});
    all.push_back({{"supply", "scale", "", 0.0, 2.0, "factor on the supply voltage"}, {1.0, set<&Effects::supply>, 0}});
    add_body(all);
    all.push_back({{"reference", "scale", "", 0.0, 2.0, "factor on the controller's sensor supply and converter"},
                   {1.0, set<&Effects::reference>, 0}});
    all.push_back({{"brake", "scale", "", 0.0, 5.0, "factor on the output of the brake's sensor"},
                   {1.0, set<&Effects::brake>, 0}});
    all.push_back({{"manifold", "vacuum_leak", "m^2", 0.0, 1e-3, "effective opening of a vacuum leak; needs an engine"},
                   {0.0, set<&Effects::leak>, 0}});
    add_box(all, pedal);
    all.push_back(
        {{"pedal.idle_switch", "stuck_off", "", 0.0, 0.0, "idle switch says that the foot is off; takes no amount"},
         {0.0, [](Effects& e, std::size_t, double, Time) { e.idle_switch = 1.0; }, 0}});
    all.push_back(
        {{"pedal.idle_switch", "stuck_on", "", 0.0, 0.0, "idle switch says that the foot is on; takes no amount"},
         {0.0, [](Effects& e, std::size_t, double, Time) { e.idle_switch = 2.0; }, 0}});
    add_profiles(all);
    return all;
}

const std::vector<Entry>& entries() {
    static const std::vector<Entry> all = build();
    return all;
}

}  // namespace

const std::vector<Kind>& catalogue() {
    static const std::vector<Kind> kinds = [] {
        std::vector<Kind> out;
        for (const Entry& e : entries()) out.push_back(e.kind);
        return out;
    }();
    return kinds;
}

const std::vector<Action>& actions() {
    static const std::vector<Action> out = [] {
        std::vector<Action> list;
        for (const Entry& e : entries()) list.push_back(e.action);
        return list;
    }();
    return out;
}

}  // namespace twintrack::fault
