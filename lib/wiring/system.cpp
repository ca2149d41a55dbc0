// SPDX-License-Identifier: BSD-3-Clause
#include "system.hpp"

#include <numeric>

namespace twintrack::wiring {

namespace {

using Eigen::Index;

Index row(Node n) { return static_cast<Index>(n) - 1; }  // the ground has none

Eigen::MatrixXd assemble(const std::vector<Branch>& branches, const std::vector<Index>& unknown, Index size) {
    Eigen::MatrixXd m = Eigen::MatrixXd::Zero(size, size);
    for (std::size_t k = 0; k < branches.size(); ++k) {
        const Branch& b = branches[k];
        const bool own = unknown[k] >= 0;
        for (const Tap& s : b.taps) {
            if (s.node == 0) continue;
            if (own) {
                m(row(s.node), unknown[k]) += s.weight;
                m(unknown[k], row(s.node)) += s.weight;
                continue;
            }
            for (const Tap& t : b.taps)
                if (t.node != 0) m(row(s.node), row(t.node)) += s.weight * t.weight / b.resistance;
        }
        if (own) m(unknown[k], unknown[k]) = -b.resistance;
    }
    return m;
}

}  // namespace

System::System(std::size_t nodes, std::vector<Branch> branches) : nodes_(nodes), branches_(std::move(branches)) {
    Index size = static_cast<Index>(nodes_) - 1;
    for (const Branch& b : branches_) unknown_.push_back(b.resistance < own_current_below ? size++ : -1);
    find_islands();
    if (!undetermined_nodes_.empty() || size == 0) return;
    matrix_ = assemble(branches_, unknown_, size);
    factors_.setThreshold(1e-15);  // far below 1e-12 S, the weakest conductance allowed, against the unit taps
    factors_.compute(matrix_);
    if (!factors_.isInvertible()) find_kernel();
}

void System::find_islands() {
    std::vector<std::size_t> leader(nodes_);
    std::iota(leader.begin(), leader.end(), std::size_t{0});
    const auto find = [&](std::size_t n) {
        while (leader[n] != n) n = leader[n] = leader[leader[n]];
        return n;
    };
    for (const Branch& b : branches_)
        for (const Tap& t : b.taps)
            if (t.weight != 0.0)
                leader[find(static_cast<std::size_t>(t.node))] = find(static_cast<std::size_t>(b.taps[0].node));
    for (std::size_t n = 1; n < nodes_; ++n)
        if (find(n) != find(0)) undetermined_nodes_.push_back(static_cast<Node>(n));
}

/// What the equations leave open: node voltages, or currents that run round a loop without resistance.
void System::find_kernel() {
    const Eigen::VectorXd free = factors_.kernel().cwiseAbs().rowwise().sum();
    const double small = 1e-6 * free.maxCoeff();
    for (std::size_t n = 1; n < nodes_; ++n)
        if (free(row(static_cast<Node>(n))) > small) undetermined_nodes_.push_back(static_cast<Node>(n));
    if (!undetermined_nodes_.empty()) return;
    for (std::size_t k = 0; k < branches_.size(); ++k)
        if (unknown_[k] >= 0 && free(unknown_[k]) > small) loop_.push_back(k);
}

Eigen::VectorXd System::right_side(const std::vector<double>& voltages, const std::vector<double>& injection) const {
    Eigen::VectorXd rhs = Eigen::VectorXd::Zero(matrix_.rows());
    for (std::size_t n = 1; n < nodes_; ++n) rhs(row(static_cast<Node>(n))) = injection[n];
    for (std::size_t k = 0; k < branches_.size(); ++k) {
        if (unknown_[k] >= 0) {
            rhs(unknown_[k]) = voltages[k];
            continue;
        }
        for (const Tap& t : branches_[k].taps)
            if (t.node != 0) rhs(row(t.node)) += t.weight * voltages[k] / branches_[k].resistance;
    }
    return rhs;
}

System::Answer System::solve(const std::vector<double>& voltages, const std::vector<double>& injection) const {
    Answer a{std::vector<double>(nodes_, 0.0), std::vector<double>(branches_.size(), 0.0)};
    Eigen::VectorXd x;
    if (matrix_.rows() > 0) {
        const Eigen::VectorXd rhs = right_side(voltages, injection);
        x = factors_.solve(rhs);
        x += factors_.solve(rhs - matrix_ * x);  // one refinement
    }
    for (std::size_t n = 1; n < nodes_; ++n) a.voltages[n] = x(row(static_cast<Node>(n)));
    for (std::size_t k = 0; k < branches_.size(); ++k)
        a.currents[k] = unknown_[k] >= 0 ? x(unknown_[k])
                                         : (across(branches_[k], a.voltages) - voltages[k]) / branches_[k].resistance;
    return a;
}

std::vector<double> System::own_voltages() const {
    std::vector<double> voltages;
    for (const Branch& b : branches_) voltages.push_back(b.voltage);
    return voltages;
}

}  // namespace twintrack::wiring
