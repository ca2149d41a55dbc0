// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/harness.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "elements.hpp"
#include "off_state.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/wiring/edit.hpp"

namespace twintrack::wiring {

namespace {

constexpr double push = 1.0;  ///< [A] that a path must carry; a sensor's regulator cannot
constexpr double no_path = HarnessLaw::no_path;

// Inputs of the reduced net, in this order, and its fixed probes.
enum InputIndex : std::size_t { reference_input, supply_input, motor_input, input_count };
using enum HarnessLaw::Probe;

Ports fixed_ports(const Netlist& net) {
    Ports ports;
    std::vector<std::string> reference = {"internal supply"};
    for (const Regulator& r : net.regulators) reference.push_back(r.name);
    ports.inputs = {reference, {"battery"}, {"motor"}};
    const Node ground = net.at("controller ground");
    ports.probes = {{net.at("internal supply"), ground},
                    {net.at("controller supply"), ground},
                    {ground, 0},
                    {net.at("motor +"), net.at("motor -")}};
    return ports;
}

}  // namespace

class Harness::Implementation {
public:
    Implementation(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body,
                   const plant::BridgeParameters& bridge, const HarnessParameters& p, const PinOut& pin_out)
        : healthy(harness_net(pedal, body, bridge, p, pin_out)),
          bridge_(bridge),
          pedal_tracks_(pedal.tracks.size()),
          throttle_tracks_(body.tracks.size()),
          pedal_feeds_(pedal.supply == sensing::Supply::shared ? 1 : pedal_tracks_),
          throttle_feeds_(body.supply == sensing::Supply::shared ? 1 : throttle_tracks_),
          net_(healthy),
          reduced_(reduce(healthy)) {}

    void rewire(Netlist net) {
        test_.reset();
        net_ = net;
        reduced_ = reduce(std::move(net));
        known_path_ = false;
    }

    void set_resistance(const std::string& name, double ohms) {
        const auto found = std::find(variables_.begin(), variables_.end(), name);
        if (found == variables_.end()) throw unknown_name("wiring.variable", name, variables_);
        require(ohms, {least_variable, resistances.most}, "wiring['" + name + "']", "ohm", "resistance");
        const std::size_t source = first_variable() + static_cast<std::size_t>(found - variables_.begin());
        reduced_.set_resistance(source, ohms);
        net_.ratio_sources[source].resistance = ohms;
        if (test_) test_->set_resistance(source, ohms);
        known_path_ = false;
    }

    HarnessOutput read(const HarnessInput& input) {
        const NetStatus status = evaluate(input);
        return status == NetStatus::ok ? output() : failed(status);
    }

    HarnessOutput connect(const HarnessInput& input) {
        HarnessOutput out = read(input);
        if (out.status == NetStatus::ok) out.ends.motor = motor(input);
        return out;
    }

    plant::Terminal<double> drive(const HarnessInput& input) {
        const NetStatus status = evaluate(input, first_free_probe);
        return status == NetStatus::ok ? motor(input) : failed(status).ends.motor;
    }

    HarnessLaw law() const {
        HarnessLaw l{reduced_.counts(),
                     reduced_.coefficients(),
                     {},
                     static_cast<int>(pedal_tracks_),
                     static_cast<int>(throttle_tracks_),
                     static_cast<int>(pedal_feeds_),
                     static_cast<int>(throttle_feeds_)};
        for (std::size_t k = 0; k < ratios_.size(); ++k) l.resistances.push_back(reduced_.resistance(k));
        for (std::size_t k = first_leg(); k < first_variable(); ++k) l.resistances[k].fixed = legs_on_;
        return l;
    }
    [[nodiscard]] bool has_path() const noexcept { return path_; }

    plant::LegCurrents legs() const {
        return {-reduced_.current(first_leg()), -reduced_.current(first_leg() + 1), motor_current_};
    }

    plant::BridgeFault off_state(const HarnessInput& input) {
        if (!test_) test_.emplace(net_, first_leg());
        set_ratios(input);
        return test_->find(input.reference, input.supply, ratios_);
    }

    const Netlist healthy;

private:
    // Ratio sources: the tracks, the two legs, then what make_variable() added.
    [[nodiscard]] std::size_t first_leg() const { return pedal_tracks_ + throttle_tracks_; }
    [[nodiscard]] std::size_t first_variable() const { return first_leg() + 2; }

    [[nodiscard]] ReducedNet reduce(Netlist net) {
        Ports ports = fixed_ports(net);
        const Node ground = net.at("controller ground");
        const auto add = [&](const char* before, const char* assembly, const char* what, std::size_t count) {
            for (std::size_t k = 1; k <= count; ++k)
                ports.probes.push_back({net.at(std::string(before) + assembly + what + std::to_string(k)), ground});
        };
        add("converter ", "pedal", " signal ", pedal_tracks_);
        add("converter ", "throttle", " signal ", throttle_tracks_);
        add("pin ", "pedal", " reference ", pedal_feeds_);
        add("pin ", "throttle", " reference ", throttle_feeds_);
        legs_on_ = healthy.ratio_sources[first_leg()].resistance;
        variables_.clear();
        for (std::size_t k = 0; k < std::max(net.ratio_sources.size(), first_variable()); ++k) {
            const bool there = k < net.ratio_sources.size();
            if (k >= first_variable())
                variables_.push_back(net.ratio_sources[k].name);
            else if (!there || net.ratio_sources[k].name != healthy.ratio_sources[k].name)
                throw InvalidParameter("wiring", "'" + healthy.ratio_sources[k].name + "' is gone from its place");
        }
        ratios_.assign(net.ratio_sources.size(), 0.0);
        legs_open_ = false;
        return {std::move(net), std::move(ports)};
    }

    NetStatus evaluate(const HarnessInput& input, std::size_t probes = ReducedNet::all) {
        if (!std::isfinite(input.duty)) throw InvalidParameter("wiring.duty", "is not finite");
        set_mode(input.mode);
        set_ratios(input);
        double inputs[input_count] = {input.reference, input.supply, 0.0};
        if (!known_path_) {
            path_ = true;
            for (const double current : {0.0, push, -push}) {
                inputs[motor_input] = current;
                const NetStatus status = reduced_.evaluate(inputs, ratios_);
                if (status != NetStatus::ok) return status;
                path_ = path_ && std::fabs(reduced_.slope(motor_probe, motor_input)) < no_path;
            }
            inputs[motor_input] = 0.0;
            known_path_ = true;
        }
        inputs[motor_input] = motor_current_ = path_ ? input.motor_current : 0.0;
        return reduced_.evaluate(inputs, ratios_, probes);
    }

    void set_mode(plant::BridgeMode mode) {
        const bool open = mode == plant::BridgeMode::high_impedance;
        if (open == legs_open_) return;
        legs_open_ = open;
        known_path_ = false;
        for (std::size_t k = first_leg(); k < first_variable(); ++k)
            reduced_.set_resistance(k, open ? HarnessLaw::open_leg : legs_on_);
    }

    /// Tracks, then the legs: averaged over the period, a leg is at the supply for its share of it.
    void set_ratios(const HarnessInput& input) {
        for (std::size_t k = 0; k < pedal_tracks_; ++k) ratios_[k] = input.pedal[k];
        for (std::size_t k = 0; k < throttle_tracks_; ++k) ratios_[pedal_tracks_ + k] = input.throttle[k];
        const double duty = input.mode == plant::BridgeMode::drive ? clamp(input.duty, -1.0, 1.0) : 0.0;
        ratios_[first_leg()] = max(duty, 0.0);
        ratios_[first_leg() + 1] = max(-duty, 0.0);
    }

    [[nodiscard]] HarnessOutput output() const {
        const auto v = reduced_.probes();
        HarnessOutput out;
        std::size_t next = first_free_probe;
        for (std::size_t k = 0; k < pedal_tracks_; ++k) out.ends.pedal[k] = v[next++];
        for (std::size_t k = 0; k < throttle_tracks_; ++k) out.ends.throttle[k] = v[next++];
        for (std::size_t k = 0; k < pedal_feeds_; ++k) out.pedal_reference[k] = v[next++];
        for (std::size_t k = 0; k < throttle_feeds_; ++k) out.throttle_reference[k] = v[next++];
        out.ends.reference = v[internal_probe];
        out.supply = v[supply_probe];
        out.motor_current = -reduced_.current(first_leg());
        out.ground = v[ground_probe];
        return out;
    }

    [[nodiscard]] plant::Terminal<double> motor(const HarnessInput& input) const {
        using plant::BridgeMode;
        const double ohms = path_ ? -reduced_.slope(motor_probe, motor_input) : no_path;
        if (ohms >= no_path)
            return plant::terminal(bridge_, BridgeMode::high_impedance, 0.0, reduced_.probes()[supply_probe]);
        const double volts = reduced_.probes()[motor_probe] + ohms * input.motor_current;
        const bool past_the_bridge = input.mode == BridgeMode::high_impedance;
        return {volts, ohms, past_the_bridge ? HarnessLaw::unlimited : bridge_.current_limit,
                past_the_bridge ? BridgeMode::drive : input.mode};
    }

    [[nodiscard]] static HarnessOutput failed(NetStatus status) {
        HarnessOutput out;
        constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
        out.status = status;
        out.ends.reference = out.supply = out.ground = nothing;
        out.ends.pedal.fill(nothing);
        out.ends.throttle.fill(nothing);
        return out;
    }

    plant::BridgeParameters bridge_;
    std::size_t pedal_tracks_, throttle_tracks_, pedal_feeds_, throttle_feeds_;
    std::vector<double> ratios_;
    std::vector<std::string> variables_;
    double legs_on_ = 0.0;  ///< [Ω]
    bool legs_open_ = false;
    bool known_path_ = false;
    bool path_ = false;
    double motor_current_ = 0.0;  ///< [A] of the last solution
    Netlist net_;                 ///< as it is wired now
    ReducedNet reduced_;
    std::optional<OffStateTest> test_;  ///< of this net, once it was needed
};

Harness::Harness(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body,
                 const plant::BridgeParameters& bridge, const HarnessParameters& p, const PinOut& pin_out)
    : implementation_(std::make_unique<Implementation>(pedal, body, bridge, p, pin_out)) {}
Harness::Harness(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body,
                 const plant::BridgeParameters& bridge, const HarnessParameters& p)
    : Harness(pedal, body, bridge, p, correct_pin_out(pedal, body)) {}
Harness::~Harness() = default;
Harness::Harness(const Harness& other) : implementation_(std::make_unique<Implementation>(*other.implementation_)) {}
Harness::Harness(Harness&&) noexcept = default;
Harness& Harness::operator=(Harness&&) noexcept = default;

const Netlist& Harness::healthy() const noexcept { return implementation_->healthy; }
void Harness::set_resistance(const std::string& name, double ohms) { implementation_->set_resistance(name, ohms); }
void Harness::rewire(Netlist net) { implementation_->rewire(std::move(net)); }
HarnessLaw Harness::law() const { return implementation_->law(); }
bool Harness::has_path() const noexcept { return implementation_->has_path(); }
plant::LegCurrents Harness::legs() const { return implementation_->legs(); }
plant::BridgeFault Harness::off_state(const HarnessInput& input) { return implementation_->off_state(input); }
HarnessOutput Harness::read(const HarnessInput& input) { return implementation_->read(input); }
HarnessOutput Harness::connect(const HarnessInput& input) { return implementation_->connect(input); }
plant::Terminal<double> Harness::drive(const HarnessInput& input) { return implementation_->drive(input); }

}  // namespace twintrack::wiring
