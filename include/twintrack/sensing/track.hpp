// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/core/described.hpp"
#include "twintrack/core/random.hpp"
#include "twintrack/sensing/laws.hpp"
#include "twintrack/sensing/random_channels.hpp"

namespace twintrack::sensing {

enum class TrackKind { potentiometer, hall };

constexpr std::array<std::pair<TrackKind, const char*>, 2> names(Tag<TrackKind>) {
    return {{{TrackKind::potentiometer, "potentiometer"}, {TrackKind::hall, "hall"}}};
}

/// One position sensor of an assembly, ratiometric: its output is a share of its own supply.
///
///     r(p) = clamp( table(p_h) + 4 b p_h (1 − p_h) + ρ(p_h), low, high )
///
/// p [–] true position as a share of the travel, 0 at pedal rest or closed stop, 1 at the other end; p_h is p behind
/// a play of ± hysteresis; b is the bow of the characteristic (its largest deviation from the table).
/// p is held to 0 … 1. A knee is a third knot. A Hall track's output stage clamps to clamp_low … clamp_high; a
/// potentiometer's ends are its rails, 0 and 1. ρ is the roughness of a wiper's path: it belongs to the place and is
/// the same whenever the wiper passes, with rms `roughness` over the travel and straight lines between independent
/// values `grain` apart. Noise is added where the signal is sampled, with rms `noise_rms`.
/// Literature: opposed wipers, Isermann 2017 §7.1.2; linearity ±1–2 %, hysteresis ≤ 0.3–0.5 % (from memory).
struct TrackParameters {
    TrackKind kind = TrackKind::hall;
    std::vector<double> position = {0.0, 1.0};  ///< knots [share of travel], increasing
    std::vector<double> ratio = {0.15, 0.85};   ///< output at the knots [share of supply]
    double bow = 0.0;                           ///< b [share of supply]
    double hysteresis = 0.0;                    ///< half width [share of travel]
    double noise = 0.00016;                     ///< rms [share of supply], new at every sample
    double roughness = 0.0;                     ///< rms over the travel [share of supply], by place
    double grain = 0.004;                       ///< [share of travel]
    double clamp_low = 0.03;                    ///< [share of supply]
    double clamp_high = 0.97;                   ///< [share of supply]
    double resistance = 1000.0;                 ///< [Ω] potentiometer: end to end; Hall: output
};

[[nodiscard]] const Description& description(Tag<TrackParameters>);

/// The knots must increase from 0 to 1 and have one ratio each; clamps must be in order.
void check(const TrackParameters& p, const std::string& path);

/// What a fault does to a track, ahead of its clamps; the identity when nothing is wrong:
///
///     r' = r(0) + gain (r − r(0)) + offset
struct TrackEffect {
    double gain = 1.0;    ///< about the ratio at rest
    double offset = 0.0;  ///< [share of supply]
    double noise = 0.0;   ///< extra rms [share of supply]
    bool frozen = false;  ///< holds the last value

    bool operator==(const TrackEffect&) const = default;
};

class Track {
public:
    /// Throws InvalidParameter, its path beginning with `where`.
    explicit Track(const TrackParameters& p, const std::string& where = "track");

    /// Gives the path its grains: the samples of `grains` at 0, 1, … along the travel. A track without has no
    /// roughness.
    void lay(const NoiseStream& grains) noexcept { grains_ = grains; }

    /// Characteristic without hysteresis and roughness [share of supply].
    [[nodiscard]] double characteristic(double position) const noexcept;

    /// Output [share of supply] now at `position`; moves the play and remembers the value for a frozen track.
    double read(double position, const TrackEffect& effect = {}) noexcept;

    /// Rms [share of supply] of the noise on the output: the track's own and the fault's; none from a frozen track.
    [[nodiscard]] double noise_rms(const TrackEffect& effect = {}) const noexcept;

    [[nodiscard]] const TrackParameters& parameters() const noexcept { return p_; }
    [[nodiscard]] const std::vector<Piece<double>>& pieces() const noexcept { return pieces_; }
    [[nodiscard]] double low() const noexcept { return low_; }
    [[nodiscard]] double high() const noexcept { return high_; }
    [[nodiscard]] double rest() const noexcept { return rest_; }

private:
    [[nodiscard]] double unclamped(double position) const noexcept;
    [[nodiscard]] double roughness(double position) const noexcept;

    TrackParameters p_;
    std::vector<Piece<double>> pieces_;  ///< of the table, slopes worked out once
    double low_, high_;                  ///< what clamps the output
    double rest_;                        ///< r(0), about which a wrong gain turns
    std::optional<NoiseStream> grains_;
    double played_ = 0.0;  ///< position behind the play
    bool started_ = false;
    double last_ = 0.0;
};

/// The grains of a track of the bench with this seed, of the noise channel `channel`; the same in every case.
[[nodiscard]] inline NoiseStream grains_of(int seed, std::uint32_t channel) noexcept {
    return {static_cast<std::uint32_t>(seed), 0, channel + channels::grains_offset};
}

}  // namespace twintrack::sensing
