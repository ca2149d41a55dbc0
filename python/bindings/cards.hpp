// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <pybind11/pybind11.h>

namespace twintrack::python {

/// What a notebook shows of a value: HTML made by the package's `pages/cards.py`.
inline auto card_of(const char* function) {
    return [function](const pybind11::object& self) {
        return pybind11::module_::import("twintrack.pages.cards").attr(function)(self);
    };
}

}  // namespace twintrack::python
