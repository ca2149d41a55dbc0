// SPDX-License-Identifier: BSD-3-Clause
#include "fields.hpp"
#include "meter.hpp"

PYBIND11_MODULE(_core, m) {
    namespace tp = twintrack::python;
    m.doc() = "Compiled heart of twintrack; use it through the package `twintrack`.";
    m.attr("__version__") = TWINTRACK_VERSION;
    tp::bind_core(m);
    tp::bind_plant(m);
    tp::bind_engine(m);
    tp::bind_sensing(m);
    tp::bind_wiring(m);
    tp::bind_control(m);
    tp::bind_monitor(m);
    tp::bind_fault(m);
    tp::bind_bench(m);
    tp::bind_meter(m);
    tp::bind_learn(m);
    tp::bind_study(m);
    tp::bind_lanes(m);
    tp::bind_rules(m);
    tp::bind_analysis(m);
}
