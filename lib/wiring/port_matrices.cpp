// SPDX-License-Identifier: BSD-3-Clause
#include "port_matrices.hpp"

namespace twintrack::wiring {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;

MatrixXd columns(const std::vector<std::vector<double>>& voltages, std::size_t nodes) {
    MatrixXd m(static_cast<Index>(nodes), static_cast<Index>(voltages.size()));
    for (std::size_t k = 0; k < voltages.size(); ++k)
        m.col(static_cast<Index>(k)) = Eigen::Map<const Eigen::VectorXd>(voltages[k].data(), m.rows());
    return m;
}

/// Node voltages for the constant part and for one unit of each input.
MatrixXd source_responses(const Netlist& net, const System& system, const std::vector<InputTargets>& inputs) {
    const std::vector<double> none(net.nodes.size(), 0.0);
    std::vector<std::vector<double>> all = {system.solve(system.own_voltages(), injections(net)).voltages};
    for (const InputTargets& input : inputs) {
        std::vector<double> voltages(system.branches().size(), 0.0), into = none;
        for (const std::size_t k : input.voltage_sources) voltages[net.resistors.size() + k] = 1.0;
        const std::size_t first = net.resistors.size() + net.voltage_sources.size() + net.clamps.size();
        for (const std::size_t k : input.regulators) voltages[first + k] = 1.0;
        for (const std::size_t k : input.current_sources) {
            into[static_cast<std::size_t>(net.current_sources[k].from)] -= 1.0;
            into[static_cast<std::size_t>(net.current_sources[k].to)] += 1.0;
        }
        all.push_back(system.solve(voltages, into).voltages);
    }
    return columns(all, net.nodes.size());
}

/// Node voltages for one ampere into `plus` and out of `minus` of each pair.
MatrixXd pair_responses(const System& system, std::size_t nodes, const std::vector<std::pair<Node, Node>>& pairs) {
    const std::vector<double> still(system.branches().size(), 0.0);
    std::vector<std::vector<double>> all;
    for (const auto& [plus, minus] : pairs) {
        std::vector<double> into(nodes, 0.0);
        into[static_cast<std::size_t>(plus)] += 1.0;
        into[static_cast<std::size_t>(minus)] -= 1.0;
        all.push_back(system.solve(still, into).voltages);
    }
    return columns(all, nodes);
}

/// Rows v_plus − v_minus of node voltages.
MatrixXd differences(const MatrixXd& voltages, const std::vector<std::pair<Node, Node>>& pairs) {
    MatrixXd m(static_cast<Index>(pairs.size()), voltages.cols());
    for (std::size_t k = 0; k < pairs.size(); ++k)
        m.row(static_cast<Index>(k)) = voltages.row(pairs[k].first) - voltages.row(pairs[k].second);
    return m;
}

}  // namespace

PortMatrices port_matrices(const Netlist& net, const System& system, const std::vector<InputTargets>& inputs,
                           const std::vector<Probe>& probes) {
    std::vector<std::pair<Node, Node>> a, h, read;
    for (const RatioSource& e : net.ratio_sources) {
        a.emplace_back(e.output, e.low);
        h.emplace_back(e.high, e.low);
    }
    for (const Probe& p : probes) read.emplace_back(p.plus, p.minus);
    for (const auto& place : places(net)) read.push_back(place);

    const std::size_t nodes = net.nodes.size();
    const MatrixXd v = source_responses(net, system, inputs);
    const MatrixXd za = pair_responses(system, nodes, a), zh = pair_responses(system, nodes, h);
    PortMatrices t;
    t.aa = differences(za, a);
    t.aa = 0.5 * (t.aa + t.aa.transpose().eval());
    t.hh = differences(zh, h);
    t.hh = 0.5 * (t.hh + t.hh.transpose().eval());
    t.ah = differences(zh, a);
    t.ha = t.ah.transpose();
    t.drive_a = differences(v, a);
    t.drive_h = differences(v, h);
    t.reads.resize(static_cast<Index>(read.size()), v.cols() + za.cols() + zh.cols());
    t.reads << differences(v, read), differences(za, read), differences(zh, read);
    return t;
}

namespace {

/// What an element should hold is taken off what is read of it: the constant, or the input that sets it.
void lower(std::vector<double>& c, const PortCounts& n, const Netlist& net, const std::vector<InputTargets>& inputs) {
    for (std::size_t k = 0; k < net.regulators.size(); ++k) {
        const int row = n.probes + static_cast<int>(net.clamps.size() + k);
        int setter = 0;
        for (std::size_t i = 0; i < inputs.size(); ++i)
            for (const std::size_t target : inputs[i].regulators)
                if (target == k) setter = 1 + static_cast<int>(i);
        c[static_cast<std::size_t>(n.read(row, setter))] -= setter > 0 ? 1.0 : net.regulators[k].voltage;
    }
}

}  // namespace

std::vector<double> coefficients(const PortMatrices& t, const PortCounts& n, const Netlist& net,
                                 const Segments& segments, const std::vector<InputTargets>& inputs) {
    std::vector<double> c(static_cast<std::size_t>(n.total()));
    const auto at = [&](int place) -> double& { return c[static_cast<std::size_t>(place)]; };
    for (int k = 0; k < n.sources; ++k) {
        for (int l = 0; l <= k; ++l) {
            const int p = n.pair(k, l);
            at(p) = t.aa(k, l), at(p + 1) = t.ah(k, l), at(p + 2) = t.ha(k, l), at(p + 3) = t.hh(k, l);
        }
        for (int i = 0; i < n.inputs; ++i) at(n.drive(k, i)) = t.drive_a(k, i), at(n.drive(k, i) + 1) = t.drive_h(k, i);
    }
    for (int r = 0; r < n.reads(); ++r) {
        for (int i = 0; i < n.inputs; ++i) at(n.read(r, i)) = t.reads(r, i);
        for (int k = 0; k < n.sources; ++k) {
            at(n.read(r, n.inputs + 2 * k)) = t.reads(r, n.inputs + k);
            at(n.read(r, n.inputs + 2 * k + 1)) = t.reads(r, n.inputs + n.sources + k);
        }
    }
    lower(c, n, net, inputs);
    int e = 0;
    const auto bound = [&](const Bounds& b) { at(n.bounds(e)) = b.low, at(n.bounds(e) + 1) = b.high, ++e; };
    for (const Clamp& clamp : net.clamps) bound(bounds(clamp, segments[static_cast<std::size_t>(e)]));
    for (const Regulator& r : net.regulators) bound(bounds(r, segments[static_cast<std::size_t>(e)]));
    return c;
}

}  // namespace twintrack::wiring
