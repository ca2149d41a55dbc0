// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/analysis/prediction.hpp"

#include <array>
#include <optional>

#include "twintrack/bench/exact_solver.hpp"
#include "twintrack/core/error.hpp"
#include "unknowns.hpp"

namespace twintrack::analysis {

namespace {

constexpr std::array<Unknown, 23> known{{
    {"motor.resistance", "ohm", "armature resistance"},
    {"motor.inductance", "H", "armature inductance"},
    {"motor.constant", "V*s/rad", "torque and back-EMF constant"},
    {"motor.brush_drop", "V", "brush drop"},
    {"motor.gear_efficiency", "", "efficiency of the gear"},
    {"inertia", "kg*m^2", "all inertia, at the blade"},
    {"springs.rest_angle", "rad", "default position"},
    {"springs.open_preload", "N*m", "preload of the return spring"},
    {"springs.open_rate", "N*m/rad", "rate of the return spring"},
    {"springs.close_preload", "N*m", "preload of the opener spring"},
    {"springs.close_rate", "N*m/rad", "rate of the opener spring"},
    {"friction.coulomb", "N*m", "sliding friction"},
    {"friction.breakaway", "N*m", "break-away friction"},
    {"friction.stribeck_speed", "rad/s", "speed at which break-away has gone"},
    {"friction.viscous", "N*m*s/rad", "viscous friction"},
    {"friction.bristle_stiffness", "N*m/rad", "stiffness before sliding"},
    {"friction.bristle_damping", "N*m*s/rad", "damping before sliding"},
    {"stops.closed_angle", "rad", "closed stop"},
    {"stops.open_angle", "rad", "open stop"},
    {"start_angle", "rad", "angle at the first sample"},
    {"angle_delay", "s", "delay of the angle's signal"},
    {"current_delay", "s", "delay of the current's signal"},
    {"current_offset", "A", "offset of the current's signal"},
}};

/// What a signal was a short while ago, to straight lines between the steps.
template <class T>
class Delayed {
public:
    Delayed(T start, T delay, double step)
        : delay_(delay), step_(step), past_(static_cast<std::size_t>(longest_delay / step) + 3, start) {}
    void push(const T& now) {
        next_ = (next_ + 1) % past_.size();
        past_[next_] = now;
    }
    [[nodiscard]] T now() const {
        const T steps = delay_ / T(step_);
        const auto whole = static_cast<std::size_t>(value_of(steps));
        const T& late = at(whole);
        return late + (steps - T(static_cast<double>(whole))) * (at(whole + 1) - late);
    }

private:
    static double value_of(double x) { return x; }
    template <std::size_t N>
    static double value_of(const Dual<N>& x) {
        return x.value;
    }
    [[nodiscard]] const T& at(std::size_t ago) const { return past_[(next_ + past_.size() - ago) % past_.size()]; }

    T delay_;
    double step_;
    std::vector<T> past_;
    std::size_t next_ = 0;
};

void keep(Prediction& out, std::size_t, double current, double angle) {
    out.current.push_back(current), out.angle.push_back(angle);
}

template <std::size_t N>
void keep(Prediction& out, std::size_t count, const Dual<N>& current, const Dual<N>& angle) {
    keep(out, count, current.value, angle.value);
    const auto ends = [count](const Dual<N>& y) { return y.slope.begin() + static_cast<std::ptrdiff_t>(count); };
    out.by_current.insert(out.by_current.end(), current.slope.begin(), ends(current));
    out.by_angle.insert(out.by_angle.end(), angle.slope.begin(), ends(angle));
}

/// At rest under the first voltage, friction holding what springs and motor leave over.
template <class T>
lanes::BodyState<T> at_rest(const lanes::BodyCoefficients<T>& c, T angle, double volts, double resistance) {
    const T current = T(volts) / (c.motor.resistance + T(resistance));
    const T left = c.motor.blade_constant * current + plant::spring_torque(c.springs, angle);
    const T most = T(0.95) * c.coulomb;
    return {{current, angle, T(0.0), clamp(left, -most, most) / c.stiffness}, T(0.0)};
}

template <class T>
void lead(const Leading& leading, std::size_t k, const T& seen, lanes::BodyState<T>& x) {
    if (leading.angle.empty() || !(leading.angle[k] == leading.angle[k])) return;
    const T off = T(leading.angle[k]) - seen;
    x.x.angle = x.x.angle + T(leading.angle_gain) * off;
    const T push = T(leading.speed_gain) * off;
    x.x.speed = x.x.speed + push;
    x.speed_before = x.speed_before + push;
}

template <class T>
Prediction predicted(const plant::BodyMechanics& body, const LogValues& log, const Excitation& e,
                     const Leading& leading, const std::vector<std::string>& by) {
    const Seeds<T> of(by);
    const lanes::BodyCoefficients<T> c = seeded(body, of);
    const int steps = std::max(1, static_cast<int>(std::ceil(e.period / e.substep - 1e-9)));
    const double h = e.period / steps;
    lanes::BodyState<T> x = at_rest(c, of("start_angle", log.start_angle), e.voltage[0], e.resistance);
    Delayed<T> angle(x.x.angle, of("angle_delay", log.angle_delay), h);
    Delayed<T> current(x.x.current, of("current_delay", log.current_delay), h);
    const T offset = of("current_offset", log.current_offset);
    Prediction out;
    out.current.reserve(e.voltage.size()), out.angle.reserve(e.voltage.size());
    out.by_current.reserve(e.voltage.size() * by.size()), out.by_angle.reserve(e.voltage.size() * by.size());
    for (std::size_t k = 0; k < e.voltage.size(); ++k) {
        const T seen = angle.now();
        keep(out, by.size(), current.now() + offset, seen);
        lead(leading, k, seen, x);
        lanes::Tick<T> tick{};
        tick.source.voltage = T(e.voltage[k]), tick.source.resistance = T(e.resistance), tick.source.limit = T(1e6);
        tick.source.external_torque = T(0.0), tick.source.open = T(0.0);
        lanes::prepare(c, tick, T(h));
        for (int s = 0; s < steps; ++s) {
            lanes::step(c, tick, x);
            angle.push(x.x.angle), current.push(x.x.current);
        }
    }
    return out;
}

void check(const plant::BodyMechanics& body, const Excitation& e) {
    validate(body, "body");
    require(e.period, {1e-5, 0.1}, "period", "s", "time between samples");
    require(e.substep, {1e-6, 2e-3}, "substep", "s", "longest step of the body");
    require(e.resistance, {0.0, 10.0}, "resistance", "ohm", "of bridge and leads");
    if (e.voltage.empty()) throw InvalidParameter("voltage", "has no samples");
    for (const double v : e.voltage) require(v, {-60.0, 60.0}, "voltage", "V", "of the source");
    if (body.backlash.play > 0.0) throw InvalidParameter("body.backlash.play", "one mass only: must be 0");
}

}  // namespace

std::span<const Unknown> unknowns() { return known; }

Prediction predict(const plant::BodyMechanics& body, const LogValues& log, const Excitation& e, const Leading& leading,
                   const std::vector<std::string>& by) {
    check(body, e);
    if (body.friction.kind != plant::FrictionKind::bristle)
        throw InvalidParameter("body.friction.kind", "bristle friction only");
    for (const double d : {log.angle_delay, log.current_delay})
        require(d, {0.0, longest_delay}, "delay", "s", "of a signal");
    if (!leading.angle.empty() && leading.angle.size() != e.voltage.size())
        throw InvalidParameter("angle", "as many samples as voltages are needed");
    for (const std::string& name : by)
        if (std::none_of(known.begin(), known.end(), [&](const Unknown& u) { return name == u.name; }))
            throw InvalidParameter("by", "'" + name + "' is nothing that a log can be asked for");
    constexpr std::size_t most = known.size() + known.size() % 2;
    if (by.empty()) return predicted<double>(body, log, e, leading, by);
    if (by.size() <= 4) return predicted<Dual<4>>(body, log, e, leading, by);
    if (by.size() <= 16) return predicted<Dual<16>>(body, log, e, leading, by);
    if (by.size() <= most) return predicted<Dual<most>>(body, log, e, leading, by);
    throw InvalidParameter("by", "names stand twice");
}

Prediction on_test_stand(const plant::BodyMechanics& body, const Excitation& e) {
    check(body, e);
    bench::ExactSolverSettings tight;
    tight.relative_tolerance = 1e-8, tight.absolute_tolerance = 1e-9;
    bench::ExactSolver engine(plant::coefficients(body), tight);
    plant::State<double> x{0.0, plant::default_angle(body), 0.0, 0.0};
    Prediction out;
    for (const double volts : e.voltage) {
        keep(out, 0, x.current, x.angle);
        const plant::Terminal<double> source{volts, e.resistance, 1e6, plant::BridgeMode::drive};
        if (const auto failed = engine.advance(x, {source, 0.0, true}, e.period))
            throw InvalidParameter("voltage", "the exact solver failed: " + *failed);
    }
    return out;
}

}  // namespace twintrack::analysis
