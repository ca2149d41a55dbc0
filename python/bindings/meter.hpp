// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <pybind11/pybind11.h>

namespace twintrack::python {

void bind_meter(pybind11::module_& m);

}  // namespace twintrack::python
