// SPDX-License-Identifier: BSD-3-Clause
#include "fields.hpp"
#include "twintrack/bench/engine_setup.hpp"

namespace twintrack::python {

void bind_engine(py::module_& m) {
    using namespace engine;
    bind_struct<ManifoldParameters>(m, "ManifoldParameters", "Intake manifold.");
    bind_struct<CylinderParameters>(m, "CylinderParameters", "Cylinders: breathing and combustion.");
    bind_struct<RotationParameters>(m, "RotationParameters", "Crankshaft: inertia, friction, starter, generator.");
    bind_struct<EngineParameters>(m, "EngineParameters", "Mean-value engine: manifold, cylinders, crankshaft.");
    bind_struct<IdleTargetParameters>(m, "IdleTargetParameters", "Idle speed and first air by coolant temperature.");
    bind_struct<IdleAirParameters>(m, "IdleAirParameters", "Idle governor: air.");
    bind_struct<IdleSparkParameters>(m, "IdleSparkParameters", "Idle governor: spark.");
    bind_struct<IdleEntryParameters>(m, "IdleEntryParameters", "Idle governor: entry, exit, overrun.");
    bind_struct<IdleParameters>(m, "IdleParameters", "Idle governor.");
    bind_struct<MixtureParameters>(m, "MixtureParameters", "Fuel by an air meter, and unmetered air.");
    bind_struct<bench::EngineCourse>(m, "EngineCourse", "What key, starter and loads do during a run.");
    bind_struct<bench::EngineSetup>(m, "EngineSetup", "The engine behind a bench's throttle, and its idle governor.");
    m.def("built_in_engines", &bench::built_in_engines, "The built-in engines, invented for demonstration.");
}

}  // namespace twintrack::python
