// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/reduction.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "elements.hpp"
#include "known_laws.hpp"
#include "port_matrices.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::wiring {

namespace {

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
        counts_ = {static_cast<int>(net_.ratio_sources.size()), 1 + static_cast<int>(targets_.size()),
                   static_cast<int>(probes_.size()), static_cast<int>(segments_.size())};
        const std::size_t m = net_.ratio_sources.size(), reads = static_cast<std::size_t>(counts_.reads());
        for (auto* v : {&ratio_, &resistance_, &inverse_, &row_, &current_}) v->assign(m, 0.0);
        lower_.assign(m * m, 0.0);
        inputs_.assign(1 + targets_.size(), 1.0);
        columns_.assign(static_cast<std::size_t>(counts_.columns()), 0.0);
        reads_.assign(reads, 0.0);
        status = switch_to_segments();
    }

    NetStatus evaluate(std::span<const double> inputs, std::span<const double> ratios, std::size_t probes) {
        wanted_ = static_cast<int>(std::min(probes, probes_.size()));
        if (status == NetStatus::floating || status == NetStatus::singular) return status;
        set_inputs(inputs, ratios);
        for (int round = 0; round < most_rounds; ++round) {
            if (!solve()) return status = NetStatus::singular;
            const double blur = 1e-10 * largest();
            if (settled_ports(counts_, law_, work(), blur)) return status = NetStatus::ok;
            advance(segments_, wanted(net_, segments_, blur, [this](std::size_t k) { return across(k); }), round);
            if (switch_to_segments() != NetStatus::ok) return status;
        }
        return status = NetStatus::unsettled;
    }

    [[nodiscard]] double slope(std::size_t probe, std::size_t input) const {
        return with_known_counts(counts_, [&](const auto& n) {
            return slope_of_ports(n, law_, work(), static_cast<int>(probe), 1 + static_cast<int>(input));
        });
    }

    void set_resistance(std::size_t k, double ohms) { net_.ratio_sources.at(k).resistance = ohms; }
    [[nodiscard]] std::span<const double> probes() const { return {reads_.data(), probes_.size()}; }
    [[nodiscard]] double current(std::size_t k) const { return current_[k]; }
    [[nodiscard]] const PortCounts& counts() const noexcept { return counts_; }
    [[nodiscard]] std::span<const double> coefficients() const noexcept {
        return {law_, static_cast<std::size_t>(counts_.total())};
    }
    [[nodiscard]] Resistance resistance(std::size_t k) const {
        return {net_.ratio_sources.at(k).resistance, net_.ratio_sources.at(k).track_resistance};
    }

    NetStatus status = NetStatus::ok;
    std::vector<std::string> culprits;

private:
    void set_inputs(std::span<const double> inputs, std::span<const double> ratios) {
        if (inputs.size() != targets_.size() || ratios.size() != net_.ratio_sources.size())
            throw InvalidParameter("wiring.inputs", "needs " + std::to_string(targets_.size()) + " inputs and " +
                                                        std::to_string(net_.ratio_sources.size()) + " ratios");
        for (const double v : inputs)
            if (!std::isfinite(v)) throw InvalidParameter("wiring.inputs", "is not finite");
        for (std::size_t i = 0; i < targets_.size(); ++i) {
            inputs_[1 + i] = inputs[i];
            for (const std::size_t k : targets_[i].regulators) net_.regulators[k].voltage = inputs[i];
        }
        for (std::size_t k = 0; k < ratio_.size(); ++k) {
            const RatioSource& e = net_.ratio_sources[k];
            const double ratio = held(ratios[k]);
            const double resistance = series_resistance(e.resistance, e.track_resistance, ratio);
            if (ratio == ratio_[k] && resistance == resistance_[k]) continue;
            ratio_[k] = ratio;
            resistance_[k] = resistance;
            factored_ = std::min(factored_, static_cast<int>(k));
        }
    }

    [[nodiscard]] PortWork<double> work() const {
        return {ratio_.data(), resistance_.data(), inputs_.data(),  lower_.data(), inverse_.data(),
                row_.data(),   current_.data(),    columns_.data(), reads_.data()};
    }

    /// Currents of the ratio sources, then everything that is read.
    bool solve() {
        return with_known_counts(counts_, [this](const auto& n) {
            if (factored_ < n.sources && !factor_ports(n, law_, work(), factored_)) {
                factored_ = 0;
                return false;
            }
            factored_ = n.sources;
            solve_ports(n, law_, work());
            read_ports(n, law_, work(), 0, wanted_);
            read_ports(n, law_, work(), n.probes, n.reads());
            return true;
        });
    }

    /// Four at a time, since each comparison waits for the one before it.
    [[nodiscard]] double largest() const {
        double most[4] = {1.0, 1.0, 1.0, 1.0};
        std::size_t k = 0;
        for (; k + 4 <= reads_.size(); k += 4)
            for (std::size_t j = 0; j < 4; ++j) most[j] = std::max(most[j], std::fabs(reads_[k + j]));
        for (; k < reads_.size(); ++k) most[0] = std::max(most[0], std::fabs(reads_[k]));
        return std::max(std::max(most[0], most[1]), std::max(most[2], most[3]));
    }

    /// Voltage across a clamp or regulator.
    [[nodiscard]] double across(std::size_t k) const {
        const double read = reads_[probes_.size() + k];
        return k < net_.clamps.size() ? read : read + net_.regulators[k - net_.clamps.size()].voltage;
    }

    NetStatus switch_to_segments() {
        factored_ = 0;
        const auto kept = kept_.find(segments_);
        if (kept != kept_.end()) {
            law_ = kept->second->data();
            return NetStatus::ok;
        }
        Netlist base = net_;
        for (const InputTargets& t : targets_) {
            for (const std::size_t k : t.voltage_sources) base.voltage_sources[k].voltage = 0.0;
            for (const std::size_t k : t.regulators) base.regulators[k].voltage = 0.0;
            for (const std::size_t k : t.current_sources) base.current_sources[k].current = 0.0;
        }
        const std::string key = law_key(base, segments_, targets_, probes_);
        Law law = known_law(key);
        if (!law) {
            std::vector<Branch> rest = branches(base, segments_);
            rest.resize(rest.size() - base.ratio_sources.size());  // they are last
            const System system(base.nodes.size(), std::move(rest));
            if (!system.solvable()) return blame(system);
            const PortMatrices ports = port_matrices(base, system, targets_, probes_);
            law = std::make_shared<const std::vector<double>>(
                wiring::coefficients(ports, counts_, base, segments_, targets_));
            keep_law(key, law);
        }
        if (kept_.size() >= most_kept) kept_.clear();
        law_ = kept_.emplace(segments_, std::move(law)).first->second->data();
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
    PortCounts counts_;
    std::map<Segments, Law> kept_;  ///< coefficients of the law
    const double* law_ = nullptr;
    int factored_ = 0;  ///< so many sources, from the first on, are as the factors have them
    int wanted_ = 0;    ///< probes
    mutable std::vector<double> ratio_, resistance_, inputs_, lower_, inverse_, row_, current_, columns_, reads_;
};

ReducedNet::ReducedNet(Netlist net, Ports ports)
    : implementation_(std::make_unique<Implementation>(std::move(net), std::move(ports))) {}
ReducedNet::~ReducedNet() = default;
ReducedNet::ReducedNet(const ReducedNet& other)
    : implementation_(std::make_unique<Implementation>(*other.implementation_)) {}
ReducedNet::ReducedNet(ReducedNet&&) noexcept = default;
ReducedNet& ReducedNet::operator=(ReducedNet&&) noexcept = default;

NetStatus ReducedNet::evaluate(std::span<const double> inputs, std::span<const double> ratios, std::size_t probes) {
    return implementation_->evaluate(inputs, ratios, probes);
}
void ReducedNet::set_resistance(std::size_t k, double ohms) { implementation_->set_resistance(k, ohms); }
NetStatus ReducedNet::status() const noexcept { return implementation_->status; }
const std::vector<std::string>& ReducedNet::culprits() const noexcept { return implementation_->culprits; }
std::span<const double> ReducedNet::probes() const noexcept { return implementation_->probes(); }
double ReducedNet::current(std::size_t k) const { return implementation_->current(k); }
double ReducedNet::slope(std::size_t probe, std::size_t input) const { return implementation_->slope(probe, input); }
const PortCounts& ReducedNet::counts() const noexcept { return implementation_->counts(); }
std::span<const double> ReducedNet::coefficients() const noexcept { return implementation_->coefficients(); }
ReducedNet::Resistance ReducedNet::resistance(std::size_t k) const { return implementation_->resistance(k); }

}  // namespace twintrack::wiring
