// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/sensing/track.hpp"

#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::sensing {

namespace {

constexpr double least_swing = 0.01;  // [share of supply] that measures a position; this bench's own

}  // namespace

void check(const TrackParameters& p, const std::string& path) {
    const auto at = [&](const char* name) { return dotted(path, name); };
    if (p.position.size() < 2 || p.position.front() != 0.0 || p.position.back() != 1.0)
        throw InvalidParameter(at("position"), "knots must run from 0 to 1, at least two of them");
    if (p.ratio.size() != p.position.size())
        throw InvalidParameter(at("ratio"), "one ratio is needed per knot; got " + std::to_string(p.ratio.size()) +
                                                " ratios for " + std::to_string(p.position.size()) + " knots");
    if (const double swing = abs(p.ratio.back() - p.ratio.front()); swing < least_swing)
        throw InvalidParameter(at("ratio"), "the track is flat: from rest to full travel its output changes by " +
                                                std::to_string(swing) + " of the supply; allowed: at least " +
                                                std::to_string(least_swing));
    for (std::size_t i = 1; i < p.position.size(); ++i)
        if (p.position[i] <= p.position[i - 1])
            throw InvalidParameter(at("position"), "knots must increase; knot " + std::to_string(i + 1) + " does not");
    if (p.clamp_low >= p.clamp_high)
        throw InvalidParameter(at("clamp_low"), "the lower clamp must lie below the upper one; got " +
                                                    std::to_string(p.clamp_low) + " and " +
                                                    std::to_string(p.clamp_high));
}

Track::Track(const TrackParameters& p, const std::string& where) : p_(p) {
    validate(p, where);
    const bool rails = p.kind == TrackKind::potentiometer;
    low_ = rails ? 0.0 : p.clamp_low;
    high_ = rails ? 1.0 : p.clamp_high;
    for (std::size_t i = 0; i + 1 < p.position.size(); ++i)
        pieces_.push_back(
            {p.position[i], p.ratio[i], (p.ratio[i + 1] - p.ratio[i]) / (p.position[i + 1] - p.position[i])});
    rest_ = unclamped(0.0);
}

double Track::unclamped(double position) const noexcept {
    const double x = clamp(position, 0.0, 1.0);
    std::size_t i = pieces_.size() - 1;
    while (i > 0 && x < pieces_[i].start) --i;
    return on_piece(pieces_[i], p_.bow, x);
}

double Track::roughness(double position) const noexcept {
    if (!grains_ || p_.roughness == 0.0) return 0.0;
    const double along = clamp(position, 0.0, 1.0) * (1.0 / p_.grain);
    const double grain = whole_below(along);
    const auto left = static_cast<std::uint64_t>(grain);
    return grain_factor * p_.roughness *
           between_grains(grains_->normal(left), grains_->normal(left + 1), along - grain);
}

double Track::characteristic(double position) const noexcept { return clamp(unclamped(position), low_, high_); }

double Track::read(double position, const TrackEffect& effect) noexcept {
    if (!started_) played_ = position;
    played_ = clamp(played_, position - p_.hysteresis, position + p_.hysteresis);
    if (!effect.frozen || !started_)
        last_ = affected(unclamped(played_) + roughness(played_), rest_, effect.gain, effect.offset, low_, high_);
    started_ = true;
    return last_;
}

double Track::noise_rms(const TrackEffect& effect) const noexcept {
    if (effect.frozen) return 0.0;
    if (effect.noise == 0.0) return p_.noise;
    return sqrt(p_.noise * p_.noise + effect.noise * effect.noise);
}

}  // namespace twintrack::sensing
