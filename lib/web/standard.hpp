// SPDX-License-Identifier: BSD-3-Clause
#pragma once
// Included before everything else in the WebAssembly build: what the standard library of emscripten 3.1.6 lacks.
#include <bit>
#include <type_traits>

#ifndef __cpp_lib_bit_cast
namespace std {

template <class To, class From>
requires(sizeof(To) == sizeof(From) && is_trivially_copyable_v<To> && is_trivially_copyable_v<From>)
    [[nodiscard]] constexpr To bit_cast(const From& from) noexcept {
    return __builtin_bit_cast(To, from);
}

}  // namespace std
#endif
