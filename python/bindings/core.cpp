// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/error.hpp"
#include "twintrack/core/outcome.hpp"
#include "twintrack/core/record.hpp"

#include "fields.hpp"

namespace twintrack::python {

namespace {

py::array_t<double> view(std::span<const double> values, py::handle owner) {
    py::array_t<double> array(static_cast<py::ssize_t>(values.size()), values.data(), owner);
    py::detail::array_proxy(array.ptr())->flags &= ~py::detail::npy_api::NPY_ARRAY_WRITEABLE_;
    return array;
}

py::array_t<double> matrix(const Record& r) {
    const auto rows = static_cast<py::ssize_t>(r.size()), columns = static_cast<py::ssize_t>(r.signals().size());
    py::array_t<double> out({rows, columns});
    auto cells = out.mutable_unchecked<2>();
    for (py::ssize_t k = 0; k < columns; ++k) {
        const auto column = r.column(static_cast<std::size_t>(k));
        for (py::ssize_t i = 0; i < rows; ++i) cells(i, k) = column[static_cast<std::size_t>(i)];
    }
    return out;
}

void bind_record(py::module_& m) {
    py::class_<Record>(m, "Record", "Signals over time: columns of equal length, read-only views tied to this object.")
        .def_property_readonly(
            "time", [](py::object self) { return view(self.cast<const Record&>().time(), self); }, "[s], shape (n,).")
        .def_property_readonly(
            "names",
            [](const Record& r) {
                std::vector<std::string> names;
                for (const auto& s : r.signals()) names.push_back(s.name);
                return names;
            },
            "Names of the signals, in the order of the columns.")
        .def_property_readonly(
            "units",
            [](const Record& r) {
                std::map<std::string, std::string> units;
                for (const auto& s : r.signals()) units[s.name] = s.unit;
                return units;
            },
            "Unit of each signal; empty for a number without dimension.")
        .def(
            "__getitem__",
            [](py::object self, const std::string& name) {
                return view(self.cast<const Record&>().column(name), self);
            },
            py::arg("name"), "One signal, shape (n,).")
        .def("__len__", &Record::size)
        .def("matrix", &matrix, "A copy of all signals, shape (n, signals), time first.");
}

}  // namespace

void bind_core(py::module_& m) {
    static py::handle invalid = py::exception<InvalidParameter>(m, "InvalidParameter", PyExc_ValueError).release();
    py::register_local_exception_translator([](std::exception_ptr p) {
        try {
            if (p) std::rethrow_exception(p);
        } catch (const InvalidParameter& e) {
            py::object error = invalid(e.what());
            error.attr("where") = e.where();
            PyErr_SetObject(invalid.ptr(), error.ptr());
        }
    });
    const auto text = [](const char* Field::*member) {
        return [member](const FieldInfo& f) { return f.field->*member; };
    };
    py::class_<FieldInfo>(m, "FieldInfo", "Description of one field of a parameter object.")
        .def_property_readonly("name", text(&Field::name))
        .def_property_readonly("unit", text(&Field::unit))
        .def_property_readonly("meaning", text(&Field::meaning))
        .def_property_readonly("kind", &FieldInfo::kind)
        .def_property_readonly("least", [](const FieldInfo& f) { return f.field->range.least; })
        .def_property_readonly("most", [](const FieldInfo& f) { return f.field->range.most; })
        .def_property_readonly("choices", &FieldInfo::choices)
        .def_property_readonly("struct", &FieldInfo::structure)
        .def_readonly("default", &FieldInfo::default_value)
        .def("__repr__", [](const FieldInfo& f) {
            const std::string unit = f.field->unit;
            return "FieldInfo(" + std::string(f.field->name) + ", " + f.kind() + (unit.empty() ? "" : ", " + unit) +
                   ")";
        });
    py::class_<Outcome>(m, "Outcome", "How a run ended.")
        .def_property_readonly(
            "status", [](const Outcome& o) { return std::string(name(o.status)); },
            "completed, interrupted, numerical failure or unit failed.")
        .def_property_readonly(
            "when", [](const Outcome& o) { return seconds(o.when); }, "[s] simulated time at the end.")
        .def_readonly("reason", &Outcome::reason)
        .def_property_readonly("ok", &Outcome::ok)
        .def("__repr__", [](const Outcome& o) {
            return "Outcome(" + std::string(name(o.status)) + " at " + std::to_string(seconds(o.when)) + " s" +
                   (o.reason.empty() ? "" : ": " + o.reason) + ")";
        });
    bind_record(m);
}

}  // namespace twintrack::python
