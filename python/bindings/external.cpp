// SPDX-License-Identifier: BSD-3-Clause
// What an exported model consists of, for its description.
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include "twintrack/external/model.hpp"

namespace py = pybind11;

namespace twintrack::python {

namespace {

const char* kind_name(Kind kind) {
    switch (kind) {
        case Kind::integer:
            return "integer";
        case Kind::flag:
            return "flag";
        case Kind::text:
            return "text";
        case Kind::choice:
            return "choice";
        default:
            return "number";
    }
}

py::list variables(const std::string& json) {
    const auto model = external::Model::make(external::read_document(json));
    py::list all;
    for (std::size_t i = 0; i < model->variables().size(); ++i) {
        const external::Variable& v = model->variables()[i];
        py::dict d;
        d["name"] = v.name, d["kind"] = kind_name(v.kind), d["role"] = name_of(v.role);
        d["unit"] = v.unit, d["meaning"] = v.meaning;
        d["least"] = v.range.least, d["most"] = v.range.most, d["choices"] = v.choices;
        if (v.kind == Kind::text)
            d["start"] = model->text(i);
        else
            d["start"] = model->number(i);
        all.append(d);
    }
    return all;
}

}  // namespace

void bind_external(py::module_& m) {
    m.def("external_variables", &variables, py::arg("json"),
          "The variables of an exported bench, plant or controller, in the order of their numbers: dicts with name, "
          "kind, role, unit, meaning, least, most, choices and start. `json` as fmu.document() makes it.");
}

}  // namespace twintrack::python
