// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/core/described.hpp"
#include "twintrack/core/time.hpp"

namespace twintrack::control {

/// What the controller runs on: a buffer capacitor behind a diode at its supply pin, a linear regulator, a reset.
///
///     U_c ← max(U_pin, U_c − s h, 0)            s [V/s] = consumption / capacitance: 0.2 A out of 500 µF
///     U_i = min(U_ref, max(U_c − U_d, 0))       internal supply: the converter's reference; the regulators follow it
///     awake → reset    when U_c < U_reset, or the key has been off for longer than the after-run
///     reset → awake    when U_c has been ≥ U_release for the boot time, with the key on
///
/// Time zero of a run is the end of a boot, so a healthy key-on waits for nothing. The internal supply is off in reset
/// until the boot begins. All voltages and times: common practice, no source.
struct PowerParameters {
    bool enabled = true;           ///< false: the controller and its references live on whatever its pin gets
    double reset_voltage = 4.2;    ///< U_reset [V]
    double release_voltage = 4.7;  ///< U_release [V]
    double drop_out = 0.3;         ///< U_d [V]
    double buffer_slew = 400.0;    ///< s [V/s]
    double boot_time = 0.05;       ///< [s]
    double after_run = 15.0;       ///< [s] awake after the key is turned off
};

[[nodiscard]] const Description& description(Tag<PowerParameters>);

/// The release must lie above the reset.
void check(const PowerParameters& p, const std::string& path);

/// The supply of a controller from tick to tick.
class PowerSupply {
public:
    PowerSupply(const PowerParameters& p, Time period) noexcept : p_(p), period_(period) {}

    /// `volts` at the supply pin as sampled at this tick.
    void step(double volts, bool key_on) noexcept;

    [[nodiscard]] bool awake() const noexcept { return awake_; }
    /// This tick is the first after a reset.
    [[nodiscard]] bool booted() const noexcept { return booted_; }
    /// The last reset came while the key was on.
    [[nodiscard]] bool starved() const noexcept { return starved_; }
    /// Internal supply [V], `nominal` while there is enough.
    [[nodiscard]] double internal(double nominal) const noexcept;

private:
    PowerParameters p_;
    Time period_;
    double buffer_ = -1.0;  ///< U_c [V]; negative: no tick yet
    Time off_{};            ///< how long the key has been off
    Time waited_{-1};       ///< how long there has been enough supply; −1: there is not
    bool awake_ = true, booted_ = false, starved_ = false;
};

}  // namespace twintrack::control
