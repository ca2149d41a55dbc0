// SPDX-License-Identifier: BSD-3-Clause
#include "fields.hpp"
#include "twintrack/study/signal_logic.hpp"

namespace twintrack::python {

using namespace study;

namespace {

using Terms = std::vector<std::pair<std::string, double>>;

Sum sum_of(const std::pair<Terms, double>& given) {
    Sum s(given.second);
    for (const auto& [name, weight] : given.first) s.terms.push_back({name, weight});
    return s;
}

std::pair<Terms, double> shown(const Sum& s) {
    Terms terms;
    for (const auto& term : s.terms) terms.emplace_back(term.signal, term.weight);
    return {terms, s.constant};
}

Window window_of(double start, std::optional<double> end) { return end ? between(start, *end) : after(start); }

}  // namespace

void bind_formula(py::module_& m) {
    py::class_<Formula>(m, "Formula", "A sentence about recorded signals over time; written as text by `formula`.")
        .def_static("truth", &truth, py::arg("value"))
        .def_static(
            "compare",
            [](const std::pair<Terms, double>& left, const std::string& relation, const std::pair<Terms, double>& right,
               bool absolute) {
                return compare(
                    {sum_of(left), absolute, enumerator<Relation>(py::str(relation), "relation"), sum_of(right)});
            },
            py::arg("left"), py::arg("relation"), py::arg("right"), py::kw_only(), py::arg("absolute") = false,
            "Two sums, each ([(signal, weight), …], constant); `absolute` takes the magnitude of the left one.")
        .def_static(
            "join",
            [](const std::string& what, std::vector<Formula> parts, double start, std::optional<double> end) {
                return join(enumerator<Operator>(py::str(what), "what"), window_of(start, end), std::move(parts));
            },
            py::arg("what"), py::arg("parts"), py::kw_only(), py::arg("start") = 0.0, py::arg("end") = py::none(),
            "An operator over its parts; window [s] of the temporal ones, end None: to the end of the record.")
        .def_property_readonly("what", [](const Formula& f) { return std::string(name_of(f.what)); })
        .def_readonly("value", &Formula::value)
        .def_property_readonly("left", [](const Formula& f) { return shown(f.comparison.left); })
        .def_property_readonly("right", [](const Formula& f) { return shown(f.comparison.right); })
        .def_property_readonly("relation", [](const Formula& f) { return std::string(name_of(f.comparison.relation)); })
        .def_property_readonly("absolute", [](const Formula& f) { return f.comparison.absolute; })
        .def_property_readonly(
            "start", [](const Formula& f) { return seconds(f.window.from); }, "[s].")
        .def_property_readonly(
            "end",
            [](const Formula& f) {
                return f.window.to == Time::max() ? std::optional<double>() : std::optional(seconds(f.window.to));
            },
            "[s]; None: to the end of the record.")
        .def_readonly("parts", &Formula::parts)
        .def_property_readonly("signals", &signals_of)
        .def("__eq__",
             [](const Formula& a, py::handle b) { return py::isinstance<Formula>(b) && a == b.cast<Formula>(); })
        .def("__hash__", [](const Formula& f) { return py::hash(py::cast(signals_of(f)).attr("__repr__")()); });
}

}  // namespace twintrack::python
