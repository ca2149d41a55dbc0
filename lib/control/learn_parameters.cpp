// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_parameters.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::control {

namespace {

LearnParameters strict() {
    LearnParameters p;
    p.supply_least = 11.5;
    p.supply_most = 15.5;
    p.limits.throttle_span_least = 0.40;
    p.limits.pedal_span_least = 0.40;
    p.limits.second_span_least = 0.20;
    p.limits.band_margin = 0.015;
    p.limits.gap_most = 0.05;
    p.limits.turn_back_most = 0.01;
    p.limits.bend_most = 0.03;
    p.limits.default_opening_most = 0.20;
    p.limits.default_opening_least = 0.03;
    p.limits.default_mismatch_most = 0.02;
    p.limits.default_repeat_most = 0.010;
    p.limits.return_time_most = 0.5;
    p.limits.noise_most = 0.001;
    p.limits.press_agreement = 0.015;
    return p;
}

LearnParameters careless() {
    LearnParameters p;
    p.supply_least = 0.0;
    p.supply_most = 64.0;
    p.still_band = 0.03;
    p.presses = 1;
    p.band_low = 0.0;
    p.band_high = 1.0;
    p.limits = {.throttle_span_least = 0.02,
                .pedal_span_least = 0.05,
                .second_span_least = 0.02,
                .closing_move_most = 1.0,
                .band_margin = 0.0,
                .gap_most = 1.0,
                .turn_back_most = 1.0,
                .bend_most = 1.0,
                .alike_least = 0.0,
                .default_opening_most = 1.0,
                .default_opening_least = 0.0,
                .default_mismatch_most = 1.0,
                .default_repeat_most = 1.0,
                .return_time_most = 60.0,
                .noise_most = 1.0,
                .press_agreement = 1.0,
                .pedal_rises = false};
    return p;
}

}  // namespace

void check(const LearnParameters& p, const std::string& path) {
    if (p.supply_least >= p.supply_most)
        throw InvalidParameter(path + ".supply_least", "must lie below supply_most (" + std::to_string(p.supply_most) +
                                                           " V); got " + std::to_string(p.supply_least) + " V");
}

LearnParameters learn_parameters(Strictness strictness) {
    switch (strictness) {
        case Strictness::strict:
            return strict();
        case Strictness::careless:
            return careless();
        default:
            return {};
    }
}

}  // namespace twintrack::control
