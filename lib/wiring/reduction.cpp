// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/reduction.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "elements.hpp"
#include "small_ldlt.hpp"
#include "torn.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::wiring {

namespace {

using Eigen::Index;

/// Between 0 and 1. A ratio that is no number is refused.
double held(double ratio) {
    if (std::isnan(ratio)) throw InvalidParameter("wiring.ratios", "is not a number");
    return clamp(ratio, 0.0, 1.0);
}

constexpr std::size_t most_kept = 64;  ///< reductions kept, one per choice of segments met

template <class Elements>
bool find_in(const Elements& elements, const std::string& name, std::vector<std::size_t>& targets) {
    for (std::size_t k = 0; k < elements.size(); ++k) {
        if (elements[k].name != name) continue;
        targets.push_back(k);
        return true;
    }
    return false;
}

std::vector<InputTargets> resolve(const Netlist& net, const Ports& ports) {
    std::vector<InputTargets> all;
    std::set<std::string> used;
    for (const auto& names : ports.inputs) {
        InputTargets t;
        for (const std::string& name : names) {
            if (!used.insert(name).second)
                throw InvalidParameter("wiring.inputs", "'" + name + "' stands in two inputs");
            if (find_in(net.voltage_sources, name, t.voltage_sources) || find_in(net.regulators, name, t.regulators) ||
                find_in(net.current_sources, name, t.current_sources))
                continue;
            std::vector<std::string> known;
            for (const auto& e : net.voltage_sources) known.push_back(e.name);
            for (const auto& e : net.regulators) known.push_back(e.name);
            for (const auto& e : net.current_sources) known.push_back(e.name);
            throw unknown_name("wiring.inputs", name, known);
        }
        all.push_back(t);
    }
    return all;
}

}  // namespace

class ReducedNet::Implementation {
public:
    Implementation(Netlist net, Ports ports) : net_(std::move(net)), probes_(std::move(ports.probes)) {
        validate_net(net_);
        targets_ = resolve(net_, ports);
        for (const Probe& p : probes_)
            for (const Node n : {p.plus, p.minus})
                require(n, {0.0, static_cast<double>(net_.nodes.size() - 1)}, "wiring.probes", "", "node of a probe");
        segments_.assign(net_.clamps.size() + net_.regulators.size(), 0);
        const auto m = static_cast<Index>(net_.ratio_sources.size());
        ratio_.setZero(m);
        current_.setZero(m);
        scratch_.setZero(m);
        factors_ = SmallLdlt(net_.ratio_sources.size());
        x_.setZero(1 + static_cast<Index>(targets_.size()) + 2 * m);
        y_.setZero(static_cast<Index>(probes_.size() + segments_.size()));
        status = switch_to_segments();
    }

    NetStatus evaluate(std::span<const double> inputs, std::span<const double> ratios) {
        if (status == NetStatus::floating || status == NetStatus::singular) return status;
        set_inputs(inputs, ratios);
        for (int round = 0; round < most_rounds; ++round) {
            if (!solve_ports()) return status = NetStatus::singular;
            const double blur = 1e-10 * std::max(1.0, y_.cwiseAbs().maxCoeff());
            const auto across = [&](std::size_t k) { return y_(static_cast<Index>(probes_.size() + k)); };
            if (segments_.empty() || consistent(blur)) return status = NetStatus::ok;
            advance(segments_, wanted(net_, segments_, blur, across), round);
            if (switch_to_segments() != NetStatus::ok) return status;
        }
        return status = NetStatus::unsettled;
    }

    [[nodiscard]] double slope(std::size_t probe, std::size_t input) const {
        const auto p = static_cast<Index>(probe), in = static_cast<Index>(1 + input);
        const Index s = 1 + static_cast<Index>(targets_.size()), m = ratio_.size();
        scratch_ = torn_->drive_a.col(in) - ratio_.cwiseProduct(torn_->drive_h.col(in));
        factors_.solve(scratch_.data());
        double sum = torn_->reads(p, in);
        for (Index k = 0; k < m; ++k)
            sum -= (torn_->reads(p, s + k) - ratio_(k) * torn_->reads(p, s + m + k)) * scratch_(k);
        return sum;
    }

    void set_resistance(std::size_t k, double ohms) { net_.ratio_sources.at(k).resistance = ohms; }
    [[nodiscard]] std::span<const double> probes() const { return {y_.data(), probes_.size()}; }

    [[nodiscard]] double current(std::size_t k) const { return current_(static_cast<Index>(k)); }

    NetStatus status = NetStatus::ok;
    std::vector<std::string> culprits;

private:
    void set_inputs(std::span<const double> inputs, std::span<const double> ratios) {
        if (inputs.size() != targets_.size() || ratios.size() != net_.ratio_sources.size())
            throw InvalidParameter("wiring.inputs", "needs " + std::to_string(targets_.size()) + " inputs and " +
                                                        std::to_string(net_.ratio_sources.size()) + " ratios");
        for (const double v : inputs)
            if (!std::isfinite(v)) throw InvalidParameter("wiring.inputs", "is not finite");
        x_(0) = 1.0;
        for (std::size_t i = 0; i < targets_.size(); ++i) {
            x_(static_cast<Index>(1 + i)) = inputs[i];
            for (const std::size_t k : targets_[i].regulators) net_.regulators[k].voltage = inputs[i];
        }
        for (Index k = 0; k < ratio_.size(); ++k) ratio_(k) = held(ratios[static_cast<std::size_t>(k)]);
    }

    /// Currents of the ratio sources, then everything that is read.
    bool solve_ports() {
        const Torn& t = *torn_;
        const Index s = 1 + static_cast<Index>(targets_.size()), m = ratio_.size();
        for (Index l = 0; l < m; ++l) {
            for (Index k = l; k < m; ++k)
                factors_.at(static_cast<std::size_t>(k), static_cast<std::size_t>(l)) =
                    t.aa(k, l) - ratio_(l) * t.ah(k, l) - ratio_(k) * t.ha(k, l) + ratio_(k) * ratio_(l) * t.hh(k, l);
            const auto n = static_cast<std::size_t>(l);
            const RatioSource& e = net_.ratio_sources[n];
            factors_.at(n, n) += series_resistance(e.resistance, e.track_resistance, ratio_(l));
        }
        const auto u = x_.head(s);
        current_.noalias() = t.drive_a * u;
        scratch_.noalias() = t.drive_h * u;
        current_ -= ratio_.cwiseProduct(scratch_);
        if (!factors_.factor()) return false;
        factors_.solve(current_.data());
        x_.segment(s, m) = -current_;
        x_.tail(m) = ratio_.cwiseProduct(current_);
        y_.noalias() = t.reads * x_;
        return true;
    }

    [[nodiscard]] bool consistent(double blur) const {
        auto k = static_cast<Index>(probes_.size());
        std::size_t i = 0;
        for (const Clamp& e : net_.clamps) {
            if (next_segment(e, segments_[i], y_(k++), blur) != segments_[i]) return false;
            ++i;
        }
        for (const Regulator& e : net_.regulators) {
            if (next_segment(e, segments_[i], y_(k++), blur) != segments_[i]) return false;
            ++i;
        }
        return true;
    }

    NetStatus switch_to_segments() {
        const auto kept = kept_.find(segments_);
        if (kept != kept_.end()) {
            torn_ = &kept->second;
            return NetStatus::ok;
        }
        Netlist base = net_;
        for (const InputTargets& t : targets_) {
            for (const std::size_t k : t.voltage_sources) base.voltage_sources[k].voltage = 0.0;
            for (const std::size_t k : t.regulators) base.regulators[k].voltage = 0.0;
            for (const std::size_t k : t.current_sources) base.current_sources[k].current = 0.0;
        }
        std::vector<Branch> rest = branches(base, segments_);
        rest.resize(rest.size() - base.ratio_sources.size());  // they stand last
        const System system(base.nodes.size(), std::move(rest));
        if (!system.solvable()) return blame(system);
        if (kept_.size() >= most_kept) kept_.clear();
        torn_ = &kept_.emplace(segments_, tear(base, system, targets_, probes_)).first->second;
        return NetStatus::ok;
    }

    NetStatus blame(const System& system) {
        for (const Node n : system.undetermined_nodes()) culprits.push_back(net_.nodes[static_cast<std::size_t>(n)]);
        return status = culprits.empty() ? NetStatus::singular : NetStatus::floating;
    }

    Netlist net_;
    std::vector<Probe> probes_;
    std::vector<InputTargets> targets_;
    Segments segments_;
    std::map<Segments, Torn> kept_;
    const Torn* torn_ = nullptr;
    Eigen::VectorXd ratio_, current_, x_, y_;
    mutable Eigen::VectorXd scratch_;
    SmallLdlt factors_;
};

ReducedNet::ReducedNet(Netlist net, Ports ports)
    : implementation_(std::make_unique<Implementation>(std::move(net), std::move(ports))) {}
ReducedNet::~ReducedNet() = default;
ReducedNet::ReducedNet(ReducedNet&&) noexcept = default;
ReducedNet& ReducedNet::operator=(ReducedNet&&) noexcept = default;

NetStatus ReducedNet::evaluate(std::span<const double> inputs, std::span<const double> ratios) {
    return implementation_->evaluate(inputs, ratios);
}
void ReducedNet::set_resistance(std::size_t k, double ohms) { implementation_->set_resistance(k, ohms); }
NetStatus ReducedNet::status() const noexcept { return implementation_->status; }
const std::vector<std::string>& ReducedNet::culprits() const noexcept { return implementation_->culprits; }
std::span<const double> ReducedNet::probes() const noexcept { return implementation_->probes(); }
double ReducedNet::current(std::size_t k) const { return implementation_->current(k); }
double ReducedNet::slope(std::size_t probe, std::size_t input) const { return implementation_->slope(probe, input); }

}  // namespace twintrack::wiring
