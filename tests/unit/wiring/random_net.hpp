// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cmath>
#include <cstdint>
#include <string>

#include "twintrack/core/random.hpp"
#include "twintrack/wiring/netlist.hpp"

namespace twintrack::test {

/// Uniform numbers by Philox, the same on every machine.
class Uniform {
public:
    explicit Uniform(std::uint32_t seed) : seed_(seed) {}
    double operator()(double low, double high) {
        const auto words = philox({count_++, 0, 0, 0}, {seed_, 77});
        return low + (high - low) * (words[0] / 4294967296.0);
    }
    int integer(int low, int high) { return static_cast<int>((*this)(low, high + 0.999999)); }
    double decades(double low, double high) { return std::pow(10.0, (*this)(std::log10(low), std::log10(high))); }

private:
    std::uint32_t seed_;
    std::uint32_t count_ = 0;
};

/// A connected net of every kind of element: a tree of resistors keeps each node tied to the ground.
inline wiring::Netlist random_net(std::uint32_t seed) {
    Uniform u(seed);
    wiring::Netlist net;
    const int nodes = u.integer(4, 20);
    for (int k = 1; k <= nodes; ++k) {
        const int n = net.node("node " + std::to_string(k));
        net.resistors.push_back({"tree " + std::to_string(k), n, u.integer(0, n - 1), u.decades(0.01, 1e5)});
    }
    const auto any = [&] { return u.integer(0, nodes); };
    const auto other = [&](int a) { return (a + u.integer(1, nodes)) % (nodes + 1); };
    for (int k = 0; k < nodes; ++k) {
        const int a = any();
        net.resistors.push_back({"link " + std::to_string(k), a, other(a), u.decades(0.01, 1e6)});
    }
    for (int k = 0; k < 3; ++k) {
        const std::string number = std::to_string(k);
        const int a = any(), b = any(), c = any(), d = any(), e = any();
        net.voltage_sources.push_back({"source " + number, a, other(a), u(-12, 12), u.decades(0.01, 100)});
        net.current_sources.push_back({"drain " + number, b, other(b), u(-0.02, 0.02)});
        net.ratio_sources.push_back({"track " + number, any(), c, other(c), u(0, 1), u.decades(1, 1e4), u(0, 5000)});
        net.clamps.push_back({"clamp " + number, d, other(d), u(0.3, 2.0), u.decades(1, 100), 1e8});
        net.regulators.push_back({"regulator " + number, e, other(e), u(3, 8), u.decades(0.05, 5), 0.05, 0.005, 1e5});
    }
    return net;
}

}  // namespace twintrack::test
