// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/plant/air_path.hpp"
#include "twintrack/plant/thermal.hpp"
#include "twintrack/plant/throttle_body.hpp"
#include "twintrack/sensing/track.hpp"

namespace twintrack::sensing {

inline constexpr std::size_t max_tracks = 3;

/// How the tracks are fed: from one reference and return, or each from its own.
enum class Supply { shared, separate };

constexpr std::array<std::pair<Supply, const char*>, 2> names(Tag<Supply>) {
    return {{{Supply::shared, "shared"}, {Supply::separate, "separate"}}};
}

/// Where an assembly's contacts sit: all in one connector, or motor and sensors apart.
enum class Connectors { one, split };

constexpr std::array<std::pair<Connectors, const char*>, 2> names(Tag<Connectors>) {
    return {{{Connectors::one, "one"}, {Connectors::split, "split"}}};
}

/// A switch that says whether the foot is on the pedal, with a line of its own (idle validation): it opens above
/// `opens_at` and closes `hysteresis` below that. Where it opens: common practice, no source.
struct IdleSwitchParameters {
    bool fitted = false;
    double opens_at = 0.06;    ///< [share of travel]
    double hysteresis = 0.02;  ///< [share of travel]
};

[[nodiscard]] const Description& description(Tag<IdleSwitchParameters>);

void check(const IdleSwitchParameters& p, const std::string& path);

class IdleSwitch {
public:
    explicit IdleSwitch(const IdleSwitchParameters& p) noexcept : p_(p) {}
    /// Whether it says "foot on" at `travel` [share].
    bool step(double travel) noexcept;

private:
    IdleSwitchParameters p_;
    bool pressed_ = false;
};

/// An accelerator pedal: its travel and its two or three tracks.
struct PedalParameters {
    std::string name = "demo pedal";
    std::string origin = "no origin given";  ///< where the numbers come from
    std::string arrangement = "half-slope";  ///< in the trade's words
    double travel = 0.30;                    ///< [rad] of the arm between rest and full
    IdleSwitchParameters idle_switch{};
    Supply supply = Supply::separate;
    std::vector<TrackParameters> tracks = {TrackParameters{.position = {0.0, 1.0}, .ratio = {0.15, 0.78}},
                                           TrackParameters{.position = {0.0, 1.0}, .ratio = {0.075, 0.39}}};
};

[[nodiscard]] const Description& description(Tag<PedalParameters>);

/// A part needs a name: results and messages carry it.
void check(const PedalParameters& p, const std::string& path);

/// A throttle body: mechanics, its two or three tracks, its connectors.
struct ThrottleBodyParameters {
    std::string name = "demo body";
    std::string origin = "no origin given";
    std::string arrangement = "opposed";
    Supply supply = Supply::shared;
    Connectors connectors = Connectors::one;
    plant::BodyMechanics mechanics{};
    std::optional<plant::ThermalParameters>
        thermal{};                        ///< absent: the winding keeps the temperature it is described at
    plant::AirPathParameters air_path{};  ///< its `blade_zero` counts from the closed stop
    std::vector<TrackParameters> tracks = {TrackParameters{.position = {0.0, 1.0}, .ratio = {0.12, 0.88}},
                                           TrackParameters{.position = {0.0, 1.0}, .ratio = {0.88, 0.12}}};
};

[[nodiscard]] const Description& description(Tag<ThrottleBodyParameters>);

void check(const ThrottleBodyParameters& p, const std::string& path);

/// A contact of an assembly's connector.
struct Terminal {
    std::string name;       ///< such as "reference 1", "signal 2", "motor +"; shared: "reference", "return"
    std::string connector;  ///< "main", or "motor" and "sensors" where they are apart
};

/// Generated from supply, connectors and tracks, in connector order: a body's motor first, then its sensors. With two
/// tracks a body has six terminals on one shared supply and eight on two.
[[nodiscard]] std::vector<Terminal> terminals(const PedalParameters& p);
[[nodiscard]] std::vector<Terminal> terminals(const ThrottleBodyParameters& p);

}  // namespace twintrack::sensing
