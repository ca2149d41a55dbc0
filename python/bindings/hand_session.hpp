// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "session_options.hpp"

namespace twintrack::python {

/// A session that Python steps, with what was done to it: it is pickled as how it began and what followed, and the
/// ticks are made again, so that it goes on with the same bits.
class HandSession {
public:
    /// `begun`: the arguments of Session, in their order.
    explicit HandSession(py::tuple begun);
    /// One that goes on from here by itself.
    HandSession(const HandSession& other);
    HandSession(HandSession&&) = default;
    HandSession& operator=(const HandSession&) = delete;
    HandSession& operator=(HandSession&&) = default;
    ~HandSession() = default;

    [[nodiscard]] bench::Session& session() noexcept { return session_; }
    [[nodiscard]] const bench::Session& session() const noexcept { return session_; }

    /// Absent: the foot follows the stroke.
    void hold_pedal(std::optional<double> travel);
    void hold_brake(double braking);
    void inject(fault::Fault f);
    void remove(const std::string& where, const std::string& what);

    [[nodiscard]] py::tuple state() const;
    static HandSession again(const py::tuple& state);

private:
    enum class Deed { pedal, stroke, brake };
    struct Move {
        std::int64_t at;  ///< [µs] the tick that was due
        Deed deed;
        double value;
    };
    struct Strike {
        std::int64_t at;
        bool there;  ///< else it was removed
        fault::Fault fault;
    };

    [[nodiscard]] std::int64_t due() const noexcept { return session_.time().count(); }
    void make_again(const Move& m);
    void run_to(std::int64_t at);

    py::tuple begun_;
    bench::Session session_;
    std::vector<Move> moves_;
    std::vector<Strike> strikes_;
};

}  // namespace twintrack::python
