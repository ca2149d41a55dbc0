// SPDX-License-Identifier: BSD-3-Clause
// Prints how many additions, multiplications and divisions of floating-point numbers the lanes make per tick and lane,
// counted by running their own templates on a number that counts; the generator's whole-number work is not among them.
#include <cstdio>

#include "lanes/tick.hpp"

namespace counted {

struct Number {
    static constexpr int lanes = 1;
    static inline long operations = 0;
    double value = 0.0;
    Number() = default;
    Number(double v) : value(v) {}
    static Number made(double v) { return ++operations, Number(v); }
    friend Number operator+(Number a, Number b) { return made(a.value + b.value); }
    friend Number operator-(Number a, Number b) { return made(a.value - b.value); }
    friend Number operator*(Number a, Number b) { return made(a.value * b.value); }
    friend Number operator/(Number a, Number b) { return made(a.value / b.value); }
    friend Number operator-(Number a) { return -a.value; }
    friend bool operator<(Number a, Number b) { return a.value < b.value; }
    friend bool operator>(Number a, Number b) { return a.value > b.value; }
    friend bool operator<=(Number a, Number b) { return a.value <= b.value; }
    friend bool operator>=(Number a, Number b) { return a.value >= b.value; }
    friend Number select(bool c, Number a, Number b) { return c ? a : b; }
    friend Number min(Number a, Number b) { return b.value < a.value ? b : a; }
    friend Number max(Number a, Number b) { return a.value < b.value ? b : a; }
    friend Number abs(Number a) { return std::fabs(a.value); }
    friend Number power_of_two(Number a) { return twintrack::detail::power_of_two(a.value); }
    friend Number binary_exponent(Number a) { return twintrack::detail::binary_exponent(a.value); }
    friend Number exponential(Number a) { return twintrack::detail::exponential_law(a); }
    friend Number logarithm(Number a) { return twintrack::detail::logarithm_law(a); }
    template <std::size_t N>
    friend void normals(Number (&out)[N], Number, Number, Number, std::uint64_t) {
        for (Number& sample : out) operations += 3, sample = Number(0.1);
    }
    friend Number gather(const double* rows, Number row) { return rows[static_cast<int>(row.value)]; }
};

}  // namespace counted

int main() {
    using namespace twintrack::lanes;
    using counted::Number;
    LaneFields<Number> l{};
    for (auto* a : {&l.pedal, &l.throttle})
        for (auto& t : a->tracks) {
            t.span = t.high = t.gain = t.there = 1.0, t.noise = 1e-3, t.rest = 0.1;
            t.jump = t.most = t.room = 1e9, t.least = -1e9;
        }
    l.schedule.travel = l.schedule.stroke_span = l.schedule.reference = l.schedule.full_scale = 1.0;
    l.schedule.limit = 12.0, l.schedule.battery = 13.0, l.schedule.substep = 2e-4;
    l.control.loop.period = l.control.loop.motor.blade_constant = l.control.loop.springs.inverse_width = 1.0;
    for (auto& span : l.control.map_span) span = 1.0;
    l.control.duty_limit = l.control.default_limit = l.control.closing_limit = l.control.deviation_limit = 1e9;
    l.control.supply_high = l.control.reference_high = l.control.most_current = 1e9;
    l.running = 1.0, l.tick = 5.0, l.time = 1.0, l.state.x.angle = 0.5;
    l.body.stops.open = 1.0, l.body.coulomb = l.body.inverse_inertia = l.body.springs.width = 1.0;
    l.body.motor = {2.0, 1e3, 0.3, 0.0};
    static double curves[6 * 33];
    Shape shape{.map_pieces = 3, .curves = curves};
    sense(l, shape);
    if (act(l, shape)) return std::fprintf(stderr, "the lane was flagged\n"), 1;
    if (advance(l, shape)) return std::fprintf(stderr, "the lane failed\n"), 1;
    std::printf("%ld\n", Number::operations);
}
