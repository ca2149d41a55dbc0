// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/fault_checks.hpp"

#include <string>

#include "twintrack/bench/faulted_body.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::bench {

namespace {

/// Of "pedal.track3" 3 when the name starts with `assembly`; else 0.
std::size_t track_number(const std::string& where, const std::string& assembly) {
    const std::string start = assembly + ".track";
    if (where.size() != start.size() + 1 || !where.starts_with(start)) return 0;
    return static_cast<std::size_t>(where.back() - '0');
}

void check_track(const std::string& place, const std::string& where, const std::string& assembly, std::size_t tracks) {
    if (track_number(place, assembly) > tracks)
        throw InvalidParameter(
            where, "there is no " + place + "; the " + assembly + " has " + std::to_string(tracks) + " tracks");
}

void check_start(const fault::Fault& f, const std::string& where, double duration) {
    if (seconds(f.from) >= duration)
        throw InvalidParameter(where, f.what + " of " + f.where + " starts at " + std::to_string(seconds(f.from)) +
                                          " s, when the run is over; allowed: before " + std::to_string(duration) +
                                          " s, the end of the stroke");
}

}  // namespace

void check_faults(const BenchParameters& bench, const std::vector<fault::Fault>& faults, bool brake,
                  std::optional<double> duration) {
    check_faults(faults, bench.engine.has_value(), bench.pedal.idle_switch.fitted);
    for (std::size_t i = 0; i < faults.size(); ++i) {
        const std::string path = "faults[" + std::to_string(i + 1) + "]";
        check_track(faults[i].where, path + ".where", "pedal", bench.pedal.tracks.size());
        check_track(faults[i].where, path + ".where", "throttle", bench.body.tracks.size());
        if (!brake && faults[i].where == "brake")
            throw InvalidParameter(path + ".where",
                                   "there is no brake; a brake fault needs one ([[brake]] in a study)");
        if (duration) check_start(faults[i], path + ".from", *duration);
    }
}

void check_length(const BenchParameters& bench, double duration) {
    const double rows = duration / bench.record_period;
    if (rows > most_rows)
        throw InvalidParameter("record_period", "a run of " + std::to_string(duration) + " s would leave a record of " +
                                                    std::to_string(rows) +
                                                    " rows; allowed: at most 4,000,000; take a "
                                                    "shorter stroke or a longer record_period");
}

}  // namespace twintrack::bench
