// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/plant/motor.hpp"

namespace twintrack::plant {

/// A motor that warms up: winding and housing as two heat capacities.
///
///     C_w dT_w/dt = P_w − (T_w − T_h)/R_wh                        P_w = R(T_w) i²
///     C_h dT_h/dt = P_h + (T_w − T_h)/R_wh − (T_h − T_a)/R_ha     P_h brushes, friction, stops
///     R = R₂₀ (1 + 0.00393 (T_w − 20)),   K = K₂₀ (1 + α (T_h − 20))
///
/// Steady under a constant P_w: T_w = T_a + P_w (R_wh + R_ha). The magnets are as warm as the housing; α of ferrite
/// about −0.2 %/K (from memory). Both nodes begin at the temperature that the motor is described at. The controller
/// counts the same network from the current that it measures and takes the current back, before the winding's limit:
///
///     I ≤ I_max clamp((T_limit − T_w)/(T_limit − T_derate), 0, 1)
///
/// Default limit: insulation of thermal class 155 (IEC 60085, from memory). Default capacities and resistances: of a
/// motor of some 0.25 kg, invented. Literature: P. H. Mellor, D. Roberts, D. R. Turner, "Lumped parameter thermal model
/// for electrical machines of TEFC design", IEE Proc. B 138(5):205–218, 1991 (networks of heat capacities; from
/// memory).
struct ThermalParameters {
    double winding_capacity = 15.0;      ///< C_w [J/K]
    double housing_capacity = 120.0;     ///< C_h [J/K]
    double winding_to_housing = 4.0;     ///< R_wh [K/W]
    double housing_to_ambient = 6.0;     ///< R_ha [K/W]
    double ambient = 25.0;               ///< T_a [°C]
    double magnet_coefficient = -0.002;  ///< α [1/K]
    double derate_from = 130.0;          ///< T_derate [°C]
    double winding_limit = 155.0;        ///< T_limit [°C]
};

[[nodiscard]] const Description& description(Tag<ThermalParameters>);

/// Derating must begin below the limit.
void check(const ThermalParameters& p, const std::string& path);

/// Temperatures [°C].
struct HeatState {
    double winding = 20.0, housing = 20.0;
};

/// Heat [J] that went into the nodes and out to the surroundings since the beginning.
struct HeatBooks {
    double taken = 0.0, given = 0.0;
};

/// After `h` [s] in which `winding` and `housing` [J] of heat came evenly. Second order in h, and what one node loses
/// the other takes, so that no heat is lost by the method; h must be short against R C of either node.
[[nodiscard]] HeatState warmed(const ThermalParameters& p, const HeatState& x, double winding, double housing, double h,
                               HeatBooks* books = nullptr) noexcept;

/// The motor as it is at these temperatures.
[[nodiscard]] MotorParameters at_temperature(MotorParameters motor, const ThermalParameters& p, const HeatState& x);

/// Share of the current limit that the winding leaves, 0 … 1.
[[nodiscard]] double current_share(const ThermalParameters& p, double winding) noexcept;

}  // namespace twintrack::plant
