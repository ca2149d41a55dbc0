// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/built_in.hpp"

namespace twintrack::bench {

control::Unit built_in_controller(const std::optional<control::LearnedRange>& learned, const BenchParameters& p) {
    return [own = control::Controller(p.controller, p.body.mechanics, learned, from_seconds(p.control_period),
                                      p.acquisition.filter_time,
                                      p.acquisition.bits)](const control::Input& in) mutable { return own.step(in); };
}

}  // namespace twintrack::bench
