// SPDX-License-Identifier: BSD-3-Clause
// A check that nobody has told the lanes of is never slept through.
#include "lanes/checks.hpp"

#include <gtest/gtest.h>

#include <map>
#include <set>

#include "twintrack/core/fields.hpp"

namespace {

using namespace twintrack;
using monitor::CheckParameters;
using monitor::MonitorParameters;

using Visit = std::function<void(const std::string& path, CheckParameters& check)>;

/// Every check in the monitor's parameters, found by its type.
void for_each_check(const Description& described, void* value, const std::string& path, const Visit& visit) {
    for (const Field& f : described.fields) {
        if (f.type->kind != Kind::part) continue;
        const std::string here = dotted(path, f.name);
        if (&f.type->part() == &description(Tag<CheckParameters>{}))
            visit(here, f.as<CheckParameters>(value));
        else
            for_each_check(f.type->part(), f.in(value), here, visit);
    }
}

void for_each_check(MonitorParameters& m, const Visit& visit) {
    for_each_check(description(Tag<MonitorParameters>{}), &m, {}, visit);
}

std::map<std::string, bool> may_count() {
    std::map<std::string, bool> all;
    for (const lanes::LaneCheck& c : lanes::lane_checks()) all[c.path] = c.may_count;
    return all;
}

MonitorParameters only(const std::string& wanted, monitor::Counting counting) {
    MonitorParameters m;
    for_each_check(m, [&](const std::string& path, CheckParameters& check) {
        check.enabled = path == wanted;
        check.counting = counting;
    });
    return m;
}

TEST(LaneChecks, StandInTheMonitorsParameters) {
    std::set<std::string> there;
    MonitorParameters m;
    for_each_check(m, [&](const std::string& path, CheckParameters&) { there.insert(path); });
    EXPECT_GE(there.size(), 28u);
    for (const auto& row : may_count()) EXPECT_EQ(there.count(row.first), 1u) << row.first << " is no check";
    EXPECT_EQ(may_count().size(), lanes::lane_checks().size()) << "a check stands there twice";
}

TEST(LaneChecks, AnyOtherCheckKeepsItsLaneAwake) {
    const auto known = may_count();
    int other = 0;
    MonitorParameters all;
    for_each_check(all, [&](const std::string& path, CheckParameters&) {
        const auto row = known.find(path);
        const std::string timed = lanes::missed_check(only(path, monitor::Counting::timer));
        const std::string counted = lanes::missed_check(only(path, monitor::Counting::counter));
        EXPECT_EQ(timed, row == known.end() ? path : "") << path;
        EXPECT_EQ(counted, row != known.end() && row->second ? "" : path) << path;
        other += row == known.end() || !row->second ? 1 : 0;
    });
    EXPECT_GT(other, 0) << "most keep count of good ticks when they count";
}

TEST(LaneChecks, EverySetUpSleeps) {
    EXPECT_EQ(lanes::missed_check({}), "");
    EXPECT_EQ(lanes::missed_check(monitor::careless()), "");
    EXPECT_EQ(lanes::missed_check(monitor::strict()), "");
    EXPECT_EQ(lanes::missed_check(monitor::graded()), "");
}

}  // namespace
