// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>

#include "kinds.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/fault/wiring_faults.hpp"

namespace twintrack::fault {

namespace {

/// "a, b, c" of the distinct `member`s of the kinds that `keep` lets through.
template <class Keep>
std::string listed(const char* Kind::*member, Keep keep) {
    std::vector<std::string> names;
    for (const Kind& k : catalogue())
        if (keep(k) && std::find(names.begin(), names.end(), k.*member) == names.end()) names.push_back(k.*member);
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

std::string wiring_names() {
    std::string text;
    for (const Kind& k : wiring_kinds()) text += (text.empty() ? "" : ", ") + std::string(k.what);
    return text;
}

std::size_t find(const Fault& f, const std::string& path) {
    const std::vector<Kind>& all = catalogue();
    const auto here = [&](const Kind& k) { return f.where == k.where; };
    if (std::none_of(all.begin(), all.end(), here))
        throw InvalidParameter(path + ".where", "there is no place '" + f.where + "'; places: " +
                                                    listed(&Kind::where, [](const Kind&) { return true; }) +
                                                    "; a fault of the wiring has a terminal for its place, and is one "
                                                    "of " +
                                                    wiring_names());
    const auto kind = std::find_if(all.begin(), all.end(), [&](const Kind& k) { return here(k) && f.what == k.what; });
    if (kind == all.end())
        throw InvalidParameter(path + ".what", "there is no fault '" + f.what + "' of " + f.where +
                                                   "; faults: " + listed(&Kind::what, here));
    return static_cast<std::size_t>(kind - all.begin());
}

void check_amount(const Fault& f, const Kind& kind, const std::string& path) {
    require(f.amount, {kind.least, kind.most}, path + ".amount", kind.unit, kind.meaning);
    if (f.ramp == Time{0}) return;
    if (f.what == "frozen") throw InvalidParameter(path + ".ramp", "a track freezes at once; leave the ramp at 0");
    if (kind.least == kind.most)
        throw InvalidParameter(path + ".ramp", f.what + " is there at once; leave the ramp at 0");
}

void check_acting(const Fault& f, const Kind& kind, const std::string& path) {
    check_amount(f, kind, path);
    if (!f.with.empty()) throw InvalidParameter(path + ".with", f.what + " of " + f.where + " takes no second place");
    if (f.every != Time{0} || f.lasting != Time{0})
        throw InvalidParameter(path + ".every", "only faults of the wiring come and go; leave it at 0");
}

void check_times(const Fault& f, const std::string& path) {
    const auto text = [](Time t) { return std::to_string(seconds(t)) + " s"; };
    constexpr double latest = 1e6;  // [s]
    for (const auto& [time, name] : {std::pair{f.from, ".from"}, {f.to.value_or(f.from), ".to"}, {f.ramp, ".ramp"}})
        require(seconds(time), {-latest, latest}, path + name, "s", "time of a fault");
    if (f.from < Time{0})
        throw InvalidParameter(path + ".from", "a fault cannot start before 0 s; got " + text(f.from));
    if (f.to && *f.to <= f.from)
        throw InvalidParameter(path + ".to",
                               "the end (" + text(*f.to) + ") must come after the start (" + text(f.from) + ")");
    if (f.ramp < Time{0}) throw InvalidParameter(path + ".ramp", "a ramp cannot be negative; got " + text(f.ramp));
}

bool overlap(const Fault& a, const Fault& b) { return (!a.to || b.from < *a.to) && (!b.to || a.from < *b.to); }

void check_alone(const std::vector<Fault>& faults, std::size_t i, const std::string& path) {
    const Fault& f = faults[i];
    for (std::size_t j = 0; j < i; ++j) {
        const Fault& g = faults[j];
        if (g.where == f.where && g.what == f.what && g.with == f.with && overlap(g, f))
            throw InvalidParameter(path, f.what + " of " + f.where + " is already set by faults[" +
                                             std::to_string(j + 1) +
                                             "] during the same time; give one of them another time");
    }
}

}  // namespace

double grown(const Fault& f, Time now) noexcept {
    if (now - f.from >= f.ramp) return 1.0;
    return static_cast<double>((now - f.from).count()) / static_cast<double>(f.ramp.count());
}

bool present(const Fault& f, Time now) noexcept { return now >= f.from && (!f.to || now < *f.to); }

Schedule::Schedule(std::vector<Fault> faults) : faults_(std::move(faults)) {
    for (std::size_t i = 0; i < faults_.size(); ++i) {
        const Fault& f = faults_[i];
        const std::string path = "faults[" + std::to_string(i + 1) + "]";
        check_times(f, path);
        if (in_wiring(f)) {
            check_wiring_fault(f, path);
            wiring_.push_back(f);
        } else {
            kinds_.push_back(find(f, path));
            acting_.push_back(f);
            check_acting(f, catalogue()[kinds_.back()], path);
        }
        check_alone(faults_, i, path);
    }
}

Effects Schedule::effects(Time now) const {
    Effects e;
    for (std::size_t i = 0; i < acting_.size(); ++i) {
        const Fault& f = acting_[i];
        if (!present(f, now)) continue;
        const Action& action = actions()[kinds_[i]];
        action.apply(e, action.index, action.identity + grown(f, now) * (f.amount - action.identity), now - f.from);
    }
    return e;
}

}  // namespace twintrack::fault
