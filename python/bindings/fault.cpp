// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/fault/wiring_faults.hpp"

#include "given.hpp"

namespace twintrack::python {

using fault::Fault;
using fault::Kind;

namespace {

auto as_tuple() {
    return py::pickle(
        [](const Fault& f) {
            return py::make_tuple(f.where, f.what, f.from.count(), f.to ? py::cast(f.to->count()) : py::none(),
                                  f.amount, f.ramp.count(), f.with, f.every.count(), f.lasting.count());
        },
        [](const py::tuple& t) {
            const auto time = [&](int k) { return Time(t[k].cast<Time::rep>()); };
            Fault f{t[0].cast<std::string>(),
                    t[1].cast<std::string>(),
                    time(2),
                    {},
                    t[4].cast<double>(),
                    time(5),
                    t[6].cast<std::string>(),
                    time(7),
                    time(8)};
            if (!t[3].is_none()) f.to = time(3);
            return f;
        });
}

}  // namespace

void bind_fault(py::module_& m) {
    py::class_<Fault>(m, "Fault", "What is wrong, where, from when to when, how much; see `fault_catalogue()`.")
        .def(py::init([](Given<std::string> where, Given<std::string> what, Given<double> amount, Given<double> start,
                         Given<std::optional<double>> end, Given<double> ramp, Given<std::string> other,
                         Given<double> every, Given<double> lasting) {
                 const auto time = [](py::handle value, const char* name) { return from_seconds(number(value, name)); };
                 Fault f{.where = text(where.value, "where"),
                         .what = text(what.value, "what"),
                         .from = time(start.value, "start"),
                         .amount = number(amount.value, "amount"),
                         .ramp = time(ramp.value, "ramp"),
                         .with = text(other.value, "other"),
                         .every = time(every.value, "every"),
                         .lasting = time(lasting.value, "lasting")};
                 if (!end.value.is_none()) f.to = time(end.value, "end");
                 (void)fault::Schedule({f});  // refuses what no schedule would take
                 return f;
             }),
             py::kw_only(), py::arg("where"), py::arg("what"), py::arg("amount") = 0.0, py::arg("start") = 0.0,
             py::arg("end") = py::none(), py::arg("ramp") = 0.0, py::arg("other") = "", py::arg("every") = 0.0,
             py::arg("lasting") = 0.0,
             "Times in seconds since key-on; `amount` in the unit of the catalogue. A fault of the wiring has a "
             "terminal for `where`, perhaps an `other` one, and may come and go: `lasting` of each period `every`, "
             "from a pseudo-random instant of it.")
        .def_readonly("where", &Fault::where)
        .def_readonly("what", &Fault::what)
        .def_readonly("amount", &Fault::amount)
        .def_property_readonly("start", [](const Fault& f) { return seconds(f.from); })
        .def_property_readonly(
            "end", [](const Fault& f) { return f.to ? std::optional<double>(seconds(*f.to)) : std::nullopt; })
        .def_property_readonly("ramp", [](const Fault& f) { return seconds(f.ramp); })
        .def_readonly("other", &Fault::with, "The other terminal, of a wiring fault between two.")
        .def_property_readonly("every", [](const Fault& f) { return seconds(f.every); })
        .def_property_readonly("lasting", [](const Fault& f) { return seconds(f.lasting); })
        .def_property_readonly("text", &fault::sentence, "In words, without its times.")
        .def(as_tuple())
        .def("__repr__", [](const Fault& f) {
            const std::string other = f.with.empty() ? "" : "', other='" + f.with;
            return "Fault(where='" + f.where + "', what='" + f.what + other + "', amount=" + std::to_string(f.amount) +
                   ", start=" + std::to_string(seconds(f.from)) + ")";
        });
    py::class_<Kind>(m, "FaultKind", "An entry of the fault catalogue.")
        .def_readonly("where", &Kind::where)
        .def_readonly("what", &Kind::what)
        .def_readonly("unit", &Kind::unit)
        .def_readonly("least", &Kind::least)
        .def_readonly("most", &Kind::most)
        .def_readonly("meaning", &Kind::meaning)
        .def("__repr__", [](const Kind& k) { return std::string("FaultKind(") + k.where + ", " + k.what + ")"; });
    m.def("fault_catalogue", &fault::catalogue, "Every fault there is, but for those of the wiring.");
    m.def("wiring_fault_kinds", &fault::wiring_kinds, "Every kind of fault a terminal can have.");
    m.def(
        "every_single_wiring_fault",
        [](const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body, double start) {
            return fault::every_single_wiring_fault(pedal, body, from_seconds(start));
        },
        py::arg("pedal"), py::arg("body"), py::kw_only(), py::arg("start") = 0.0,
        "Every single fault the wiring of a pair can have, generated from its terminals; present from `start` [s].");
}

}  // namespace twintrack::python
