// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"

/// What conversion.cpp and fields.cpp share.
namespace twintrack::python {

/// The Python class of a description. Every struct that is a part of another one is bound with it.
[[nodiscard]] const BoundStruct& bound(const Description& description);

/// How a part is shown: as an object of its class, or as a dict.
using ShowPart = py::object (*)(const Description&, const void*);

/// A field of `owner` as Python sees it.
[[nodiscard]] py::object value_of(const Field& field, const void* owner, ShowPart show);

}  // namespace twintrack::python
