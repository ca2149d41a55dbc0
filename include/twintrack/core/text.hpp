// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

namespace twintrack {

/// Throws InvalidParameter for a text of more than 1,000 bytes or with control characters: texts become names of files,
/// of columns and of table rows.
void require_text(const std::string& value, const std::string& where, const std::string& meaning);

}  // namespace twintrack
