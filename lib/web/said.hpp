// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <exception>
#include <string>

#define TWINTRACK_EXPORT extern "C" [[gnu::used, gnu::visibility("default")]]

/// What the functions that JavaScript calls have in common: no exception leaves them.
namespace twintrack::web {

/// What the last call had to say; JavaScript reads it before it calls again.
struct Said {
    std::string error, answer;
};

inline Said& said() {
    static Said one;
    return one;
}

template <class Act>
int guarded(Act act) noexcept {
    try {
        return act();
    } catch (const std::exception& e) {
        said().error = e.what();
    } catch (...) {
        said().error = "failed";
    }
    return -1;
}

template <class Ask>
const char* answered(Ask ask) noexcept {
    const int status = guarded([&] {
        said().answer = ask();
        return 0;
    });
    return status == 0 ? said().answer.c_str() : nullptr;
}

}  // namespace twintrack::web
