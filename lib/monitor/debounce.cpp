// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/debounce.hpp"

namespace twintrack::monitor {

namespace {

constexpr Time none{-1};

}  // namespace

bool Debounce::step(bool condition) noexcept {
    Time& run = condition ? bad_ : good_;
    (condition ? good_ : bad_) = none;
    run = run == none ? Time{0} : run + period_;
    if (condition && !confirmed_ && bad_ > confirm_) {
        confirmed_ = true;
        return true;
    }
    if (!condition && confirmed_ && !latch_ && good_ >= heal_) confirmed_ = false;
    return false;
}

void Debounce::reset() noexcept {
    bad_ = good_ = none;
    confirmed_ = false;
}

}  // namespace twintrack::monitor
