// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/core/record.hpp"
#include "twintrack/fault/fault.hpp"
#include "twintrack/study/rule.hpp"

namespace twintrack::study {

/// What a learned range makes of a pair, without anything moving: pedal and blade are held still at 0, 1, … 100 % of
/// their travel, and the built-in controller computes its positions. A record over the position: its "time" of
/// x seconds is the true position x, so that rules are judged on it as on any other record, and say where.
///
///     pedal.travel, blade.opening     the true position x
///     pedal.track1 … throttle.track3  [V] at the controller's pins
///     pedal.position, opening         the controller's positions; their errors are these less x
///     asked, demand                   the pedal map of the true and of the controller's pedal position
///     default.learned                 the default position in the learned range
///     default.believed                the controller's opening at the blade's default position
///     pedal.short, throttle.short     how far the tracks disagree (share of travel by the learned range) while two of
///                                     them are shorted together, of the two that show it least; only with a harness
///     pedal.opposed, throttle.opposed 1 when two learned tracks slope in opposite directions, else 0
///
/// A learn of ends (a, b) read as (a', b') gives an affine error: see control/learned_range.hpp. Throws
/// InvalidParameter when the range has not the tracks of the pair, or for faults at places that are not there.
[[nodiscard]] Record learned_travel(const bench::BenchParameters& p, const control::LearnedRange& learned,
                                    const std::vector<fault::Fault>& faults = {});

/// Student-competition rules 2024 v1.0, T.4.2 and IC.4.1, IC.4.4, IC.4.7 as they can be held against a learned range:
/// to be judged on `learned_travel`, by way of `observed`.
[[nodiscard]] std::vector<Rule> learned_range_rules();

}  // namespace twintrack::study
