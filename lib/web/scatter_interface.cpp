// SPDX-License-Identifier: BSD-3-Clause
// What JavaScript calls of the module with lanes; as interface.cpp.
#include "said.hpp"
#include "scatter.hpp"

using twintrack::web::guarded;
using twintrack::web::said;
using twintrack::web::Scatter;

TWINTRACK_EXPORT const char* lab_error() { return said().error.c_str(); }
TWINTRACK_EXPORT Scatter* scatter_new() { return new Scatter; }
TWINTRACK_EXPORT int scatter_add(Scatter* scatter, const char* json) {
    return guarded([=] { return scatter->add(twintrack::web::document_of(json)), 0; });
}
TWINTRACK_EXPORT int scatter_run(Scatter* scatter, double every) {
    return guarded([=] { return scatter->run(every); });
}
/// Good until the next run. −1 is the time [s].
TWINTRACK_EXPORT const double* scatter_column(const Scatter* scatter, int index) {
    const double* found = nullptr;
    guarded([&] {
        found = (index < 0 ? scatter->time() : scatter->opening(static_cast<std::size_t>(index))).data();
        return 0;
    });
    return found;
}
