// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <Eigen/LU>
#include <vector>

#include "branches.hpp"

namespace twintrack::wiring {

/// Branches with fewer ohms keep their current as an unknown of its own.
inline constexpr double own_current_below = 10.0;

/// The factored equations of one set of branches:
///
///     at node n     Σ_{R ≥ 10} w_n (wᵀv − U)/R + Σ_{R < 10} w_n j = injection
///     branch R < 10 wᵀv − R j = U
class System {
public:
    System(std::size_t nodes, std::vector<Branch> branches);

    /// False when nodes have no connection to ground, or the equations have no unique answer.
    [[nodiscard]] bool solvable() const noexcept { return undetermined_nodes_.empty() && loop_.empty(); }
    [[nodiscard]] const std::vector<Node>& undetermined_nodes() const noexcept { return undetermined_nodes_; }
    [[nodiscard]] const std::vector<std::size_t>& loop() const noexcept { return loop_; }  ///< branches

    struct Answer {
        std::vector<double> voltages;  ///< [V] per node
        std::vector<double> currents;  ///< j [A] per branch
    };

    /// For the branches' source `voltages` [V] and the `injection` [A] into each node (the ground's is ignored).
    [[nodiscard]] Answer solve(const std::vector<double>& voltages, const std::vector<double>& injection) const;

    [[nodiscard]] std::vector<double> own_voltages() const;  ///< U of each branch

    [[nodiscard]] const std::vector<Branch>& branches() const noexcept { return branches_; }

private:
    [[nodiscard]] Eigen::VectorXd right_side(const std::vector<double>& voltages,
                                             const std::vector<double>& injection) const;
    void find_islands();
    void find_kernel();

    std::size_t nodes_;
    std::vector<Branch> branches_;
    std::vector<Eigen::Index> unknown_;  ///< row of a branch's own current, −1 if it has none
    Eigen::MatrixXd matrix_;
    Eigen::FullPivLU<Eigen::MatrixXd> factors_;
    std::vector<Node> undetermined_nodes_;
    std::vector<std::size_t> loop_;
};

}  // namespace twintrack::wiring
