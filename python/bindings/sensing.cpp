// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/sensing/acquisition.hpp"
#include "twintrack/sensing/assembly.hpp"
#include "twintrack/sensing/brake.hpp"

#include "fields.hpp"

namespace twintrack::python {

namespace {

template <class Assembly>
std::vector<std::pair<std::string, std::string>> terminal_list(const Assembly& a) {
    std::vector<std::pair<std::string, std::string>> list;
    for (const auto& t : sensing::terminals(a)) list.emplace_back(t.connector, t.name);
    return list;
}

}  // namespace

void bind_sensing(py::module_& m) {
    using namespace sensing;
    bind_struct<TrackParameters>(m, "TrackParameters", "One position track, ratiometric.")
        .def(
            "characteristic",
            [](const TrackParameters& p, py::array_t<double> position) {
                const Track track(p);
                return py::vectorize([&](double x) { return track.characteristic(x); })(position);
            },
            py::arg("position"),
            "Output [share of supply] at `position` [share of travel], without play and noise; same shape.");
    bind_struct<BrakeSensorParameters>(m, "BrakeSensorParameters", "The sensor of the brake.");
    bind_struct<IdleSwitchParameters>(m, "IdleSwitchParameters", "A pedal's idle-validation switch.");
    bind_struct<PedalParameters>(m, "PedalParameters", "An accelerator pedal.")
        .def("terminals", &terminal_list<PedalParameters>, "(connector, terminal) pairs in connector order.");
    bind_struct<ThrottleBodyParameters>(m, "ThrottleBodyParameters", "A throttle body.")
        .def("terminals", &terminal_list<ThrottleBodyParameters>, "(connector, terminal) pairs in connector order.");
    bind_struct<AcquisitionParameters>(m, "AcquisitionParameters", "Input filter and converter.");
}

}  // namespace twintrack::python
