// SPDX-License-Identifier: BSD-3-Clause
#include "off_state.hpp"

#include <algorithm>
#include <cmath>

#include "elements.hpp"
#include "twintrack/wiring/harness.hpp"

namespace twintrack::wiring {

namespace {

constexpr double winding = 2.0;       // [Ω] about that of any such motor; against the pins' kilohms it does not count
constexpr double least_supply = 1.0;  // [V] below which the test has no result

Netlist under_test(Netlist net, std::size_t first_leg) {
    const double pin = named(net.resistors, "to ground motor +").resistance;
    net.ratio_sources[first_leg].resistance = pin;
    net.ratio_sources[first_leg + 1].resistance = HarnessLaw::open_leg;
    net.resistors.push_back({"winding under test", net.at("motor +"), net.at("motor -"), winding});
    return net;
}

Ports ports(const Netlist& net) {
    Ports p;
    std::vector<std::string> reference = {"internal supply"};
    for (const Regulator& r : net.regulators) reference.push_back(r.name);
    p.inputs = {reference, {"battery"}};
    const Node ground = net.at("controller ground");
    p.probes = {
        {net.at("controller supply"), ground}, {net.at("pin motor +"), ground}, {net.at("pin motor -"), ground}};
    return p;
}

}  // namespace

OffStateTest::OffStateTest(Netlist net, std::size_t first_leg)
    : first_leg_(first_leg), reduced_([&] {
          Netlist tested = under_test(std::move(net), first_leg);
          Ports p = ports(tested);
          return ReducedNet(std::move(tested), std::move(p));
      }()) {}

plant::BridgeFault OffStateTest::find(double reference, double supply, const std::vector<double>& ratios) {
    using plant::BridgeFault;
    ratios_ = ratios;
    ratios_[first_leg_] = 0.5;
    ratios_[first_leg_ + 1] = 0.0;
    const double inputs[] = {reference, supply};
    if (reduced_.evaluate(inputs, ratios_) != NetStatus::ok) return BridgeFault::none;
    const auto v = reduced_.probes();
    const double u = v[0], plus = v[1], minus = v[2];
    if (!(u > least_supply)) return BridgeFault::none;
    if (std::max(plus, minus) > 0.6 * u) return BridgeFault::short_to_battery;
    if (std::fabs(plus - minus) > 0.1 * u) return BridgeFault::open_load;
    return plus < 0.06 * u ? BridgeFault::short_to_ground : BridgeFault::none;
}

}  // namespace twintrack::wiring
