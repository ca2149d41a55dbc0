// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>

#include "kinds.hpp"
#include "twintrack/core/number.hpp"

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

std::size_t find(const Fault& f, const std::string& path) {
    const std::vector<Kind>& all = catalogue();
    const auto here = [&](const Kind& k) { return f.where == k.where; };
    if (std::none_of(all.begin(), all.end(), here))
        throw InvalidParameter(path + ".where", "there is no place '" + f.where + "'; places: " +
                                                    listed(&Kind::where, [](const Kind&) { return true; }));
    const auto kind = std::find_if(all.begin(), all.end(), [&](const Kind& k) { return here(k) && f.what == k.what; });
    if (kind == all.end())
        throw InvalidParameter(path + ".what", "there is no fault '" + f.what + "' of " + f.where +
                                                   "; faults: " + listed(&Kind::what, here));
    return static_cast<std::size_t>(kind - all.begin());
}

void check_times(const Fault& f, const Kind& kind, const std::string& path) {
    const auto text = [](Time t) { return std::to_string(seconds(t)) + " s"; };
    if (f.from < Time{0})
        throw InvalidParameter(path + ".from", "a fault cannot start before 0 s; got " + text(f.from));
    if (f.to && *f.to <= f.from)
        throw InvalidParameter(path + ".to",
                               "the end (" + text(*f.to) + ") must come after the start (" + text(f.from) + ")");
    if (f.ramp < Time{0}) throw InvalidParameter(path + ".ramp", "a ramp cannot be negative; got " + text(f.ramp));
    if (f.ramp == Time{0}) return;
    if (f.what == "frozen") throw InvalidParameter(path + ".ramp", "a track freezes at once; leave the ramp at 0");
    if (kind.least == kind.most)
        throw InvalidParameter(path + ".ramp", f.what + " is there at once; leave the ramp at 0");
}

bool overlap(const Fault& a, const Fault& b) { return (!a.to || b.from < *a.to) && (!b.to || a.from < *b.to); }

double share(const Fault& f, Time now) {
    if (now - f.from >= f.ramp) return 1.0;
    return static_cast<double>((now - f.from).count()) / static_cast<double>(f.ramp.count());
}

}  // namespace

Schedule::Schedule(std::vector<Fault> faults) : faults_(std::move(faults)) {
    for (std::size_t i = 0; i < faults_.size(); ++i) {
        const Fault& f = faults_[i];
        const std::string path = "faults[" + std::to_string(i + 1) + "]";
        kinds_.push_back(find(f, path));
        const Kind& kind = catalogue()[kinds_.back()];
        require(f.amount, {kind.least, kind.most}, path + ".amount", kind.unit, kind.meaning);
        check_times(f, kind, path);
        for (std::size_t j = 0; j < i; ++j)
            if (kinds_[j] == kinds_[i] && overlap(faults_[j], f))
                throw InvalidParameter(path, f.what + " of " + f.where + " is already set by faults[" +
                                                 std::to_string(j + 1) +
                                                 "] during the same time; give one of them another time");
    }
}

Effects Schedule::effects(Time now) const {
    Effects e;
    for (std::size_t i = 0; i < faults_.size(); ++i) {
        const Fault& f = faults_[i];
        if (now < f.from || (f.to && now >= *f.to)) continue;
        const Action& action = actions()[kinds_[i]];
        action.apply(e, action.track, action.identity + share(f, now) * (f.amount - action.identity));
    }
    return e;
}

}  // namespace twintrack::fault
