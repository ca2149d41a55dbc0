// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"

/// Resistance of what joins two contacts: copper, crimps, splices.
namespace twintrack::wiring {

/// ρ₂₀ [Ω·m] of annealed copper, 1/58 MS/m: IEC 60028 (1925), value as listed publicly.
inline constexpr double copper_resistivity = 1.0 / 58e6;

/// R(T)/R₂₀ = 1 + 0.00393 (T − 20), T [°C]: coefficient of IEC 60028 as commonly listed.
[[nodiscard]] double copper_factor(double celsius);

/// Diameter [m] of American wire gauge n: 0.127 mm · 92^((36 − n)/39). InvalidParameter outside 0 … 40.
[[nodiscard]] double awg_diameter(int gauge);

/// Resistance per length [Ω/m] of a solid copper wire of that gauge at 20 °C.
[[nodiscard]] double awg_resistance(int gauge);

/// Largest resistance per length [Ω/m] at 20 °C of a road-vehicle cable of that section: ISO 6722-1 (values from
/// memory; 8 … 10 % above pure copper). Sections 0.22, 0.35, 0.5, 0.75, 1, 1.5, 2.5, 4, 6 mm²; InvalidParameter for
/// another.
[[nodiscard]] double cable_resistance(double section_mm2);

/// A wire from one contact to another.
struct WireParameters {
    double section_mm2 = 0.5;
    double length = 2.0;                ///< [m]
    double temperature = 20.0;          ///< [°C]
    int contacts = 2;                   ///< in series
    double contact_resistance = 0.005;  ///< [Ω] each; new 1 … 5 mΩ, aged small contacts to 20 mΩ (from memory)
    int splices = 0;                    ///< in series
    double splice_resistance = 0.001;   ///< [Ω] each (common practice, no source)
    bool shielded = false;              ///< picks nothing up
    double coupling = 50e-12;           ///< [F/m] to a lead beside it (10 … 100 pF/m in a bundle, from memory)
};

[[nodiscard]] const Description& description(Tag<WireParameters>);

/// The section must be one of the list.
void check(const WireParameters& p, const std::string& path);

/// R [Ω] = length · cable(section) · factor(T) + contacts + splices.
[[nodiscard]] double resistance(const WireParameters& p);

}  // namespace twintrack::wiring
