// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "instance.hpp"

namespace twintrack::fmu {

/// With event mode: a step ends at a control tick, before it is made. What is set in the event mode counts at that very
/// tick, which is made when the discrete states are updated. An importer that does not use the event mode gets the tick
/// at the end of its step, made with what it set before the step.
class Instance3 : public Instance {
public:
    using Instance::Instance;

    void events(bool used, bool early_return) noexcept { events_ = used, early_ = early_return; }
    void enter_events();
    void make_tick();
    void no_tick() noexcept { due_ = active_ = false; }
    void step_to_event(double time, double size, bool& event, bool& early, double& reached);
    [[nodiscard]] double number_or_time(Reference r);
    /// Whether the clock of the control ticks ticks at this event; asked once.
    [[nodiscard]] bool clock(Reference r);

private:
    bool events_ = false, early_ = false;
    bool due_ = false;     ///< a tick is to be made
    bool active_ = false;  ///< and the clock has not been asked
};

}  // namespace twintrack::fmu
