// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "twintrack/plant/bridge_guard.hpp"
#include "twintrack/wiring/connection.hpp"
#include "twintrack/wiring/harness_parameters.hpp"
#include "twintrack/wiring/pin_out.hpp"
#include "twintrack/wiring/reduction.hpp"
#include "twintrack/wiring/solver.hpp"

/// The net of a pedal, a throttle body and a controller, and its solution tick by tick.
namespace twintrack::wiring {

/// The net. Nodes: each terminal by its name, each pin as "pin NAME", "battery", "controller supply", "controller
/// ground". Elements to edit: "wire NAME" from a terminal to its pin (its first end at the terminal), "supply wire",
/// "ground wire" and "ground offset". Each terminal has 1 GΩ of insulation to ground, so nothing floats.
/// InvalidParameter for bad parameters or a pin-out with names that do not exist.
[[nodiscard]] Netlist harness_net(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body,
                                  const plant::BridgeParameters& bridge, const HarnessParameters& p,
                                  const PinOut& pin_out);

/// What drives the wiring during one tick.
struct HarnessInput {
    double reference = 5.0;  ///< [V] internal supply of the controller
    double supply = 12.6;    ///< [V] open-circuit voltage of the battery
    TrackValues pedal{};     ///< outputs [share of their supply]
    TrackValues throttle{};
    plant::BridgeMode mode = plant::BridgeMode::high_impedance;
    double duty = 0.0;           ///< −1 … 1
    double motor_current = 0.0;  ///< [A] into the terminal "motor +"
};

struct HarnessOutput {
    Ends ends;  ///< signals and reference [V] against the controller's ground, as its converter has them
    TrackValues pedal_reference{}, throttle_reference{};  ///< [V] at the reference pins, for the monitor
    double supply = 0.0;                                  ///< [V] at the controller
    double motor_current = 0.0;                           ///< [A] out of the pin "motor +"
    double ground = 0.0;                                  ///< [V] of the controller's ground against the ground
    NetStatus status = NetStatus::ok;
};

/// The harness as the law of port_law.hpp takes it. Inputs: 1, reference, supply, motor current; probes as named here,
/// then the tracks of pedal and throttle at the converter, then their reference pins. Sources: the tracks of pedal and
/// throttle, the bridge's two legs, and what make_variable() added.
struct HarnessLaw {
    enum Probe : int { internal_probe, supply_probe, ground_probe, motor_probe, first_free_probe };
    enum Input : int { constant_input, reference_input, supply_input, motor_input };
    static constexpr double no_path = 1e3;    ///< [Ω] between the motor's terminals above which nothing drives it
    static constexpr double open_leg = 1e9;   ///< [Ω] of a bridge leg with both switches open
    static constexpr double unlimited = 1e9;  ///< [A] where the motor is fed past the bridge

    PortCounts counts;
    std::span<const double> coefficients;               ///< valid until the harness is used again
    std::vector<ReducedNet::Resistance> resistances{};  ///< of the sources; legs as they are when on
    int pedal_tracks, throttle_tracks, pedal_feeds, throttle_feeds;
};

class Harness {
public:
    Harness(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body,
            const plant::BridgeParameters& bridge, const HarnessParameters& p, const PinOut& pin_out);
    Harness(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body,
            const plant::BridgeParameters& bridge = {}, const HarnessParameters& p = {});
    ~Harness();
    Harness(const Harness& other);
    Harness(Harness&&) noexcept;
    Harness& operator=(Harness&&) noexcept;

    /// The net as built, to be edited.
    [[nodiscard]] const Netlist& healthy() const noexcept;

    /// From now on the wiring is `net`, an edit of healthy(): reduces it. InvalidParameter when an element the harness
    /// drives or a node it reads is gone.
    void rewire(Netlist net);

    /// Changes, from the next tick on and without a new reduction, the resistance [Ω] (1 mΩ … 1 TΩ) of a resistor that
    /// make_variable() made a port of the present net.
    void set_resistance(const std::string& name, double ohms);

    /// The other ends at one tick. The motor's source is a voltage behind a resistance, at the net's present state;
    /// with no path below 1 kΩ between its terminals that carries 1 A either way, high impedance. Unless the status is
    /// ok, the ends hold no voltages.
    HarnessOutput connect(const HarnessInput& input);

    /// connect() without the motor's source, `ends.motor`: all that a converter reads before the controller decides.
    HarnessOutput read(const HarnessInput& input);

    /// Its state after the last of connect(), read() and drive().
    [[nodiscard]] HarnessLaw law() const;
    /// Whether it found a path for the motor's current then.
    [[nodiscard]] bool has_path() const noexcept;

    /// Currents out of the motor pins then.
    [[nodiscard]] plant::LegCurrents legs() const;
    /// The test of an open bridge with the motor at rest: the pin "motor +" is pulled to half of the supply U through
    /// as much as each pin has to ground, the winding counts 2 Ω, nothing else is driven. Both pins are then at U/6.
    /// Above 0.6 U: short to battery; 0.1 U apart: open; "motor +" below 0.06 U: short to ground (less than a third of
    /// the resistance of a pin).
    [[nodiscard]] plant::BridgeFault off_state(const HarnessInput& input);

    /// Only the motor's source, once the controller has decided: connect(input).ends.motor.
    plant::Terminal<double> drive(const HarnessInput& input);

private:
    class Implementation;
    std::unique_ptr<Implementation> implementation_;
};

}  // namespace twintrack::wiring
