// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/verdict.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::study;

Record ramp() {
    Record r({Signal{"x", ""}});
    for (int k = 0; k <= 100; ++k) {
        const double row[] = {0.01 * k};
        r.append(milliseconds(k), row);
    }
    return r;
}

Rule rule(Formula applies, Formula requirement) {
    return {.set = "test", .name = "r", .applies = std::move(applies), .requirement = std::move(requirement)};
}

TEST(Verdict, SaysWhenItFirstFailsAndByHowMuchAtWorst) {
    const auto r = ramp();
    const Verdict v = judge(rule(truth(true), signal("x") <= 0.505), Trace(r));
    EXPECT_EQ(v.finding, Finding::failed);
    EXPECT_DOUBLE_EQ(v.when.value(), 0.051);
    EXPECT_DOUBLE_EQ(v.worst.value(), 0.100);
    EXPECT_NEAR(*v.margin, -0.495, 1e-12);
}

TEST(Verdict, LooksOnlyWhereTheRuleApplies) {
    const auto r = ramp();
    const Verdict v = judge(rule(signal("x") < 0.305, signal("x") <= 0.5), Trace(r));
    EXPECT_EQ(v.finding, Finding::passed);
    EXPECT_FALSE(v.when);
    EXPECT_DOUBLE_EQ(v.worst.value(), 0.030);
    EXPECT_NEAR(*v.margin, 0.2, 1e-12);
}

TEST(Verdict, NotApplicableSaysWhy) {
    const auto r = ramp();
    EXPECT_EQ(judge(rule(signal("x") > 2.0, truth(false)), Trace(r)).finding, Finding::not_applicable);
    const Verdict missing = judge(rule(signal("brake.applied") > 0.5, signal("x") > signal("z")), Trace(r));
    EXPECT_EQ(missing.finding, Finding::not_applicable);
    EXPECT_EQ(missing.reason, "not in the record: brake.applied, z");
    EXPECT_FALSE(missing.margin);
    Rule unseen = rule(truth(true), truth(true));
    unseen.unseen = "a matter of construction";
    EXPECT_EQ(judge(unseen, Trace(r)).reason, "a matter of construction");
    const Record empty({Signal{"x", ""}});
    EXPECT_EQ(judge(rule(truth(true), signal("x") > 0.0), Trace(empty)).reason, "the record is empty");
}

TEST(Verdict, RefusesRulesItCannotTellApart) {
    const auto r = ramp();
    const Rule one = rule(truth(true), truth(true));
    EXPECT_THROW((void)judge(std::vector<Rule>{one, one}, Trace(r)), InvalidParameter);
    Rule bad = one;
    bad.scale = 0.0;
    EXPECT_THROW((void)judge(bad, Trace(r)), InvalidParameter);
    bad = one;
    bad.name.clear();
    EXPECT_THROW((void)judge(bad, Trace(r)), InvalidParameter);
}

}  // namespace
