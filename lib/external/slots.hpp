// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <deque>
#include <optional>
#include <string>
#include <vector>

#include "twintrack/core/time.hpp"
#include "twintrack/external/variable.hpp"

/// Variables and where their values lie.
namespace twintrack::external {

/// A value that is set from outside; `at` is what `variable.kind` says: double, int, bool or std::string, and for a
/// choice the enumeration that `type` knows, or an int without one.
struct Slot {
    Variable variable;
    void* at = nullptr;
    const Type* type = nullptr;
};

/// Text only: std::logic_error elsewhere.
[[nodiscard]] const std::string& text_in(const Slot& slot);
void put_text(const Slot& slot, const std::string& value);
/// Numbers, integers, flags (0, 1) and choices (from 0). InvalidParameter out of range.
[[nodiscard]] double number_in(const Slot& slot);
void put(const Slot& slot, double value);

/// An optional number as two values: the number, and whether it is given.
struct OptionalNumber {
    std::optional<double>* target;
    double value;
    bool given;
};

/// A slot for each field of a described struct and of the parts in it, in their order, named by `path`. Lists keep
/// their lengths, and parts that are not there stay away. An optional number is two slots, `name` and `name_given`,
/// which `optional` holds.
void add_fields(const Description& description, void* owner, const std::string& path, std::vector<Slot>& slots,
                std::deque<OptionalNumber>& optional);

}  // namespace twintrack::external
