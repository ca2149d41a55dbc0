// SPDX-License-Identifier: BSD-3-Clause
#pragma once

namespace twintrack::plant {

/// Air at rest around the machine.
struct Air {
    double pressure = 101325.0;   ///< p₀ [Pa]
    double temperature = 288.15;  ///< T₀ [K]
};

inline constexpr double gas_constant = 287.053;     ///< R of dry air [J/(kg·K)]
inline constexpr double isentropic_exponent = 1.4;  ///< γ of air

/// Standard atmosphere: T = T₀ − L h, p = p₀ (T/T₀)^(g₀/(R L)), T₀ = 288.15 K, p₀ = 101,325 Pa, L = 6.5 K/km,
/// g₀ = 9.80665 m/s². `altitude` [m], −1,000 to 11,000; throws InvalidParameter beyond. Literature: U.S. Standard
/// Atmosphere, 1976, NOAA, NASA and USAF, Washington (constants from memory).
[[nodiscard]] Air standard_atmosphere(double altitude);

}  // namespace twintrack::plant
