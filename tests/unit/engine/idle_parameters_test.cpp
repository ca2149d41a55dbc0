// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/idle_parameters.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::engine;

TEST(IdleParameters, EveryFieldIsGuarded) {
    support::expect_every_field_guarded<IdleTargetParameters>();
    support::expect_every_field_guarded<IdleAirParameters>();
    support::expect_every_field_guarded<IdleSparkParameters>();
    support::expect_every_field_guarded<IdleEntryParameters>();
    support::expect_every_field_guarded<IdleParameters>();
}

TEST(IdleParameters, RefusesContradictions) {
    support::expect_refused<IdleTargetParameters>("part.speed", [](auto& p) { p.speed.pop_back(); });
    support::expect_refused<IdleTargetParameters>("part.area", [](auto& p) { p.area.clear(); });
    support::expect_refused<IdleTargetParameters>("part.speed", [](auto& p) { std::swap(p.coolant[0], p.coolant[1]); });
    support::expect_refused<IdleAirParameters>("part.most", [](auto& p) { p.most = p.least; });
    support::expect_refused<IdleSparkParameters>("part.base", [](auto& p) { p.most = 0.1; });
    support::expect_refused<IdleEntryParameters>("part.pedal_pressed", [](auto& p) { p.pedal_pressed = 0.0; });
    support::expect_refused<IdleEntryParameters>("part.resume_above", [](auto& p) { p.resume_above = 95.0; });
}

}  // namespace
