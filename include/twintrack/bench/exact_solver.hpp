// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <memory>
#include <optional>
#include <string>

#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::bench {

/// Energy that crossed the body's border or turned to heat since the ledger was opened [J].
struct EnergyLedger {
    double supplied = 0.0;
    double copper = 0.0;
    double brushes = 0.0;
    double friction = 0.0;
    double stops = 0.0;

    [[nodiscard]] double kept() const noexcept { return supplied - copper - brushes - friction - stops; }
};

struct ExactSolverSettings {
    double relative_tolerance = 1e-6;
    double absolute_tolerance = 1e-7;  ///< in the units of the state: A, rad, rad/s, rad
    double largest_step = 1e-3;        ///< [s]
    double smallest_step = 1e-12;      ///< [s]
    int most_steps = 20000;            ///< per call of advance()
};

/// The exact solver: Dormand–Prince 5(4) of Boost.Odeint under error control, between two controller ticks.
///
/// Accepted steps only; a step never crosses the onset of contact with a stop, nor the instant at which the current
/// dies in high impedance: such an instant is located on the step's own polynomial order by bracketing (angle to
/// 1e-10 rad, current to 1e-9 A) and the integration restarts there. Everything else that bends (spring knee,
/// friction at rest) is left to the error control.
class ExactSolver {
public:
    explicit ExactSolver(const plant::Coefficients<double>& c, const ExactSolverSettings& settings = {},
                         const plant::BacklashParameters& backlash = {});
    ~ExactSolver();
    ExactSolver(const ExactSolver& other);
    ExactSolver(ExactSolver&&) noexcept;
    ExactSolver& operator=(ExactSolver&&) noexcept;

    /// With backlash the motor's own angle and speed are kept here, from the first call on in the middle of the play;
    /// there is no ledger then.
    /// Integrates `x` over `span` [s] under a constant drive; keeps the books in `ledger` when given.
    /// Returns a sentence when the integration failed (step too small, too many steps, not finite), else nothing.
    std::optional<std::string> advance(plant::State<double>& x, const plant::Drive<double>& drive, double span,
                                       EnergyLedger* ledger = nullptr);

    /// A fault changed the body.
    void set_coefficients(const plant::Coefficients<double>& c);

private:
    class Implementation;
    std::unique_ptr<Implementation> implementation_;
};

}  // namespace twintrack::bench
