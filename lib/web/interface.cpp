// SPDX-License-Identifier: BSD-3-Clause
// What JavaScript calls: texts as pointers to UTF-8 that ends with a zero, −1 or null where lab_error() has a sentence.
#include <cmath>

#include "lab.hpp"
#include "said.hpp"

using twintrack::web::answered;
using twintrack::web::guarded;
using twintrack::web::Lab;
using twintrack::web::said;

TWINTRACK_EXPORT const char* lab_error() { return said().error.c_str(); }
TWINTRACK_EXPORT Lab* lab_new() { return new Lab; }
TWINTRACK_EXPORT void lab_free(Lab* lab) { delete lab; }

TWINTRACK_EXPORT int lab_key_on(Lab* lab, const char* json) {
    return guarded([=] { return lab->key_on(twintrack::web::document_of(json)), 0; });
}
TWINTRACK_EXPORT int lab_learn(Lab* lab, const char* json) {
    return guarded([=] { return lab->learn(twintrack::web::document_of(json)), 0; });
}
/// `pedal` [share of travel]; NaN: the foot is on its stroke.
TWINTRACK_EXPORT int lab_step(Lab* lab, int ticks, double pedal) {
    return guarded([=] { return lab->step(ticks, std::isnan(pedal) ? std::nullopt : std::optional(pedal)); });
}
TWINTRACK_EXPORT int lab_brake(Lab* lab, double braking) {
    return guarded([=] { return lab->brake(braking), 0; });
}
TWINTRACK_EXPORT int lab_inject(Lab* lab, const char* json) {
    return guarded([=] { return lab->inject(twintrack::web::fault_of(json)), 0; });
}
TWINTRACK_EXPORT int lab_remove(Lab* lab, const char* where, const char* what) {
    return guarded([=] { return lab->remove(where, what), 0; });
}
TWINTRACK_EXPORT int lab_controller(Lab* lab, const char* json) {
    return guarded([=] { return lab->set_controller(twintrack::web::controller_of(json)), 0; });
}

TWINTRACK_EXPORT const char* lab_state(const Lab* lab) {
    return answered([=] { return lab->state(); });
}
TWINTRACK_EXPORT const char* lab_signals(const Lab* lab) {
    return answered([=] { return lab->signals(); });
}
TWINTRACK_EXPORT const char* lab_names() { return answered(&Lab::names); }
TWINTRACK_EXPORT int lab_rows(const Lab* lab) {
    return guarded([=] { return static_cast<int>(lab->record().size()); });
}
/// Good until the next step. Column −1 is the time [s], −2 the learn's step.
TWINTRACK_EXPORT const double* lab_column(const Lab* lab, int column) {
    const double* found = nullptr;
    guarded([&] {
        if (column == -2) found = lab->learn_states().data();
        if (column == -1) found = lab->record().time().data();
        if (column >= 0) found = lab->record().column(static_cast<std::size_t>(column)).data();
        return 0;
    });
    return found;
}
