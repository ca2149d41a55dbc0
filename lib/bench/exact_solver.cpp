// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/exact_solver.hpp"

#include <algorithm>
#include <array>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>

#include "step_control.hpp"

namespace twintrack::bench {

namespace odeint = boost::numeric::odeint;
using plant::BridgeMode;
using plant::State;

namespace {

constexpr std::size_t body_size = 4;    // current, angle, speed, bristle
constexpr std::size_t geared_size = 6;  // and the motor's angle and speed
constexpr std::size_t ledger_size = 5;  // the five entries of the ledger, integrated beside the state

template <std::size_t N>
State<double> body_of(const std::array<double, N>& y) {
    return {y[0], y[1], y[2], y[3]};
}

/// Quantities that a step must not carry from below zero to above without landing there.
struct Surfaces {
    double below_closed, above_open, reversed_current;
};

}  // namespace

class ExactSolver::Implementation {
public:
    Implementation(const plant::Coefficients<double>& c, const ExactSolverSettings& s,
                   const plant::BacklashParameters& gear)
        : c_(c), s_(s), gear_(gear) {}

    std::optional<std::string> advance(State<double>& x, const plant::Drive<double>& drive, double span,
                                       EnergyLedger* ledger) {
        begin(drive, x.current);
        if (gear_.play > 0.0) return ledger ? "no ledger is kept with backlash" : advance_geared(x, span);
        if (!ledger) {
            std::array<double, body_size> y{x.current, x.angle, x.speed, x.bristle};
            auto failure = integrate(y, span);
            x = body_of(y);
            return failure;
        }
        EnergyLedger& e = *ledger;
        std::array<double, body_size + ledger_size> y{x.current, x.angle,   x.speed,    x.bristle, e.supplied,
                                                      e.copper,  e.brushes, e.friction, e.stops};
        auto failure = integrate(y, span);
        x = body_of(y);
        e = {y[4], y[5], y[6], y[7], y[8]};
        return failure;
    }

    void set_coefficients(const plant::Coefficients<double>& c) {
        c_ = c;
        last_.reset();
    }

private:
    std::optional<std::string> advance_geared(State<double>& x, double span) {
        if (!motor_) motor_ = {x.angle, x.speed};
        std::array<double, geared_size> y{x.current, x.angle, x.speed, x.bristle, motor_->angle, motor_->speed};
        auto failure = integrate(y, span);
        x = body_of(y);
        motor_ = {y[4], y[5]};
        return failure;
    }

    /// Motor and blade as two masses (plant/backlash.hpp).
    void two_masses(const std::array<double, geared_size>& y, std::array<double, geared_size>& dy) const {
        const State<double> x = body_of(y);
        const double teeth = plant::tooth_torque(gear_, y[4] - x.angle, y[5] - x.speed);
        const double push = c_.motor.blade_constant * x.current;
        const plant::Friction<double> f = plant::friction(c_.friction, x.speed, x.bristle, push);
        const double load = plant::spring_torque(c_.springs, x.angle) + plant::stop_torque(c_.stops, x.angle, x.speed) -
                            f.torque + drive_.external_torque;
        dy[0] = drive_.conducting
                    ? plant::current_rate(c_.motor, plant::motor_voltage(drive_.terminal, x.current), x.current, y[5])
                    : 0.0;
        dy[1] = x.speed, dy[2] = (teeth + load) * c_.inverse_inertia / (1.0 - gear_.motor_share);
        dy[3] = f.bristle_rate;
        dy[4] = y[5], dy[5] = (push - teeth) * c_.inverse_inertia / gear_.motor_share;
    }

    /// In high impedance the diodes oppose the current that flows now, with one sign until it has died: the jump of the
    /// voltage there is an event, and inside a step it would leave the error control no step small enough.
    void begin(const plant::Drive<double>& drive, double current) {
        drive_ = drive;
        dying_ = 0.0;
        if (drive.terminal.mode != BridgeMode::high_impedance) return;
        drive_.conducting = current != 0.0;
        if (!drive_.conducting) return;
        dying_ = std::copysign(1.0, current);
        drive_.terminal = {-dying_ * drive.terminal.voltage, 0.0, drive.terminal.current_limit, BridgeMode::drive};
    }

    /// Flat: it is called some ten times a tick, and the law of friction is called from too many places to be inlined
    /// by itself.
    template <std::size_t N>
    [[gnu::flatten]] void right_hand_side(const std::array<double, N>& y, std::array<double, N>& dy) const {
        if constexpr (N == geared_size) return two_masses(y, dy);
        const State<double> x = body_of(y);
        const State<double> d = plant::derivatives(c_, drive_, x);
        dy[0] = d.current, dy[1] = d.angle, dy[2] = d.speed, dy[3] = d.bristle;
        if constexpr (N == body_size + ledger_size) {
            const plant::Powers<double> p = plant::powers(c_, drive_, x);
            dy[4] = p.supplied, dy[5] = p.copper, dy[6] = p.brushes, dy[7] = p.friction, dy[8] = p.stops;
        }
    }

    template <std::size_t N>
    [[gnu::flatten]] std::optional<std::string> integrate(std::array<double, N>& y, double span) {
        using Stepper = odeint::runge_kutta_dopri5<std::array<double, N>>;
        using Checker = odeint::default_error_checker<double, odeint::array_algebra, odeint::default_operations>;
        odeint::controlled_runge_kutta<Stepper, Checker, StepAdjuster> controlled(
            Checker(s_.absolute_tolerance, s_.relative_tolerance));
        const auto system = [this](const std::array<double, N>& a, std::array<double, N>& da, double) {
            right_hand_side(a, da);
        };
        std::array<double, N> rates;
        rates_at_start(y, rates);
        double t = 0.0;
        step_ = std::min(step_, cautious * first_step_);
        for (int count = 0; t < span; ++count) {
            if (count >= s_.most_steps) return "the step limit was reached inside one controller period";
            const double remaining = span - t;
            const double tried = std::min({step_, remaining, s_.largest_step});
            double next = tried;
            const double before_t = t;
            const auto before = y;
            if (controlled.try_step(system, y, rates, t, next) == odeint::fail) {
                if (!(next > s_.smallest_step)) return "the step became too small to meet the tolerance";
                step_ = next;
                continue;
            }
            if (!finite(y)) return "the state is no longer finite";
            step_ = tried < step_ ? std::max(step_, next) : next;
            if (before_t == 0.0) first_step_ = step_;
            if (tried == remaining) t = span;  // the sum of steps may miss the end by one unit in the last place
            if (overshoot(before, y) > 0.0) {
                t = before_t + land_on_event(system, before, y, tried);
                right_hand_side(y, rates);
                step_ = std::min(step_, 1e-4);
            }
            if (dying_ != 0.0 && dying_ * y[0] <= 0.0) {
                y[0] = dying_ = 0.0;
                drive_.conducting = false;
                right_hand_side(y, rates);
            }
        }
        keep(y, rates);
        return std::nullopt;
    }

    /// The rates at the end of the last period are those at the start of this one but for the current's, which alone
    /// feels the drive.
    template <std::size_t N>
    void rates_at_start(const std::array<double, N>& y, std::array<double, N>& rates) const {
        if constexpr (N == body_size) {
            if (last_ && last_->state == y && last_->external_torque == drive_.external_torque) {
                rates = last_->rates;
                rates[0] = plant::current_rate(c_, drive_, body_of(y));
                return;
            }
        }
        right_hand_side(y, rates);
    }

    template <std::size_t N>
    void keep(const std::array<double, N>& y, const std::array<double, N>& rates) {
        if constexpr (N == body_size) last_ = {y, rates, drive_.external_torque};
    }

    template <std::size_t N>
    static bool finite(const std::array<double, N>& y) {
        return std::all_of(y.begin(), y.end(), [](double v) { return std::isfinite(v); });
    }

    template <std::size_t N>
    Surfaces surfaces(const std::array<double, N>& y) const {
        return {c_.stops.closed - y[1], y[1] - c_.stops.open, -dying_ * y[0]};
    }

    /// How far step `a` → `b` ended beyond the onset of a contact (leaving one needs no event: its force fades to
    /// nothing by itself) or beyond the death of an open bridge's current, in units of what counts as landing there.
    template <std::size_t N>
    double overshoot(const std::array<double, N>& a, const std::array<double, N>& b) const {
        constexpr double angle_error = 1e-10, current_error = 1e-9;
        const Surfaces from = surfaces(a), to = surfaces(b);
        const auto beyond = [](double f, double t, double unit) { return f < 0.0 && t > 0.0 ? t / unit : 0.0; };
        return std::max({beyond(from.below_closed, to.below_closed, angle_error),
                         beyond(from.above_open, to.above_open, angle_error),
                         beyond(from.reversed_current, to.reversed_current, current_error)});
    }

    /// The far side of a bracket narrow enough to call it the event; `y` becomes the state there. Returns the step.
    template <class System, std::size_t N>
    double land_on_event(const System& system, const std::array<double, N>& before, std::array<double, N>& y,
                         double step) {
        double near = 0.0, far = step;
        odeint::runge_kutta_dopri5<std::array<double, N>> stepper;
        for (int halvings = 0; halvings < 60 && overshoot(before, y) > 1.0; ++halvings) {
            const double middle = 0.5 * (near + far);
            auto trial = before;
            stepper.reset();
            stepper.do_step(system, trial, 0.0, middle);
            if (overshoot(before, trial) > 0.0) {
                far = middle;
                y = trial;
            } else {
                near = middle;
            }
        }
        return far;
    }

    plant::Coefficients<double> c_;
    ExactSolverSettings s_;
    plant::BacklashParameters gear_;
    struct Motor {
        double angle, speed;  ///< θ_m, ω_m
    };
    std::optional<Motor> motor_{};  ///< with backlash
    plant::Drive<double> drive_;
    double dying_ = 0.0;  ///< sign of the current while it dies in high impedance, else 0
    double step_ = 1e-5;  ///< [s] carried from tick to tick
    /// What the first step of a period asked for: another duty lets the current jump anew, and a step that suited the
    /// end of the last period is too long then.
    double first_step_ = 1e-5;
    static constexpr double cautious = 0.8;  ///< share of it; least work on the built-in bodies
    struct Last {
        std::array<double, body_size> state, rates;
        double external_torque;
    };
    std::optional<Last> last_{};
};

ExactSolver::ExactSolver(const plant::Coefficients<double>& c, const ExactSolverSettings& settings,
                         const plant::BacklashParameters& backlash)
    : implementation_(std::make_unique<Implementation>(c, settings, backlash)) {}
ExactSolver::~ExactSolver() = default;
ExactSolver::ExactSolver(const ExactSolver& other)
    : implementation_(std::make_unique<Implementation>(*other.implementation_)) {}
ExactSolver::ExactSolver(ExactSolver&&) noexcept = default;
ExactSolver& ExactSolver::operator=(ExactSolver&&) noexcept = default;

std::optional<std::string> ExactSolver::advance(plant::State<double>& x, const plant::Drive<double>& drive, double span,
                                                EnergyLedger* ledger) {
    return implementation_->advance(x, drive, span, ledger);
}

void ExactSolver::set_coefficients(const plant::Coefficients<double>& c) { implementation_->set_coefficients(c); }

}  // namespace twintrack::bench
