// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <pybind11/pybind11.h>

#include "twintrack/bench/run.hpp"

namespace twintrack::python {

/// Carries Ctrl-C out of a long call: C++ asks now and then, Python's pending exception is raised at the end.
class Interrupted {
public:
    [[nodiscard]] bench::Interrupt question() {
        return [this] {
            pybind11::gil_scoped_acquire lock;
            set_ = PyErr_CheckSignals() != 0;
            if (set_) pending_.emplace();
            return set_;
        };
    }

    void raise_if_set() {
        if (pending_) throw std::move(*pending_);
    }

private:
    bool set_ = false;
    std::optional<pybind11::error_already_set> pending_;
};

}  // namespace twintrack::python
