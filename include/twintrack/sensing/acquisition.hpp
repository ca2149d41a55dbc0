// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/time.hpp"
#include "twintrack/sensing/laws.hpp"

namespace twintrack::sensing {

/// How the controller turns a pin voltage into a number.
///
///     dv_f/dt = (v − v_f)/τ        exact for a voltage held over the step
///     code    = round((v_f / v_ref) · (2ᵇ − 1)), halves to even, held to 0 … 2ᵇ − 1
///
/// Ratiometric: v_ref is the sensors' reference as it is; absolute: the nominal 5 V. All channels of one tick are
/// sampled in one burst, at the same instant. A converter whose reference is gone (≤ 0 V) reads full scale for any
/// positive voltage and 0 otherwise. Limits: one pole, no aliasing of what the wiring carries above the tick rate.
struct AcquisitionParameters {
    double filter_time = 0.0003;  ///< τ [s]
    int bits = 12;                ///< b
    bool ratiometric = true;
    double nominal_reference = 5.0;  ///< [V]
};

[[nodiscard]] const Description& description(Tag<AcquisitionParameters>);

/// One channel: filter state and conversion.
class Channel {
public:
    /// Throws InvalidParameter for parameters out of range or a period that is not positive.
    Channel(const AcquisitionParameters& p, Time period);

    /// Code as a share of full scale (0 … 1) for the pin voltage `volts` held since the last call; the first
    /// call finds the filter settled.
    double sample(double volts, double reference_volts) noexcept {
        hold(volts);
        return read(reference_volts);
    }

    /// The two halves of that: the filter follows `volts` for a period, or for part of one; then the code is taken,
    /// with `disturbance` [V] on top of the filter's output.
    void hold(double volts) noexcept { settle(volts, decay_); }
    void hold(double volts, Time span) noexcept;
    [[nodiscard]] double read(double reference_volts, double disturbance = 0.0) const noexcept;

private:
    void settle(double volts, double decay) noexcept {
        filtered_ = started_ ? settled(filtered_, volts, decay) : volts;
        started_ = true;
    }

    double filter_time_;
    double decay_ = 0.0;  ///< exp(−period/τ)
    double full_scale_ = 1.0;
    bool ratiometric_;
    double nominal_;
    double filtered_ = 0.0;
    bool started_ = false;
};

}  // namespace twintrack::sensing
