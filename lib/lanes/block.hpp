// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <bit>
#include <cstdint>
#include <cstring>
#include <memory>
#include <new>
#include <utility>
#include <vector>

#include "fields.hpp"
#include "kernel.hpp"
#include "twintrack/control/learned_range.hpp"

namespace twintrack::lanes {

/// Memory of a block, lane by lane.
class Block {
public:
    explicit Block(const Kernel& kernel)
        : lanes_(static_cast<std::size_t>(kernel.lanes)),
          width_(static_cast<std::size_t>(kernel.width)),
          fields_(allocate(kernel.bytes)),
          curves_(allocate(curve_count * lanes_ * sizeof(double))) {
        std::memset(fields_.get(), 0, kernel.bytes);
        std::memset(curves_.get(), 0, curve_count * lanes_ * sizeof(double));
    }

    [[nodiscard]] double* fields() noexcept { return fields_.get(); }
    [[nodiscard]] const double* curves() const noexcept { return curves_.get(); }

    /// A lane's value of the member that `member` is in `names()`.
    [[nodiscard]] double& at(std::size_t lane, const double& member) noexcept {
        return fields_[place(member) * lanes_ + lane];
    }
    [[nodiscard]] double get(std::size_t lane, const double& member) const noexcept {
        return fields_[place(member) * lanes_ + lane];
    }
    /// Copies the members from `first` to `last` inclusive.
    void put(std::size_t lane, const LaneFields<double>& from, const double& first, const double& last) noexcept {
        const auto* source = reinterpret_cast<const double*>(&from);
        for (std::size_t f = place(first); f <= place(last); ++f) fields_[f * lanes_ + lane] = source[f];
    }
    void put(std::size_t lane, const LaneFields<double>& from) noexcept {
        const auto* source = reinterpret_cast<const double*>(&from);
        for (std::size_t f = 0; f < sizeof(from) / sizeof(double); ++f) fields_[f * lanes_ + lane] = source[f];
    }
    void copy(std::size_t from, std::size_t to) noexcept {
        for (std::size_t f = 0; f < sizeof(LaneFields<double>) / sizeof(double); ++f)
            fields_[f * lanes_ + to] = fields_[f * lanes_ + from];
        for (std::size_t f = 0; f < curve_count; ++f) curves_[f * lanes_ + to] = curves_[f * lanes_ + from];
        for (std::size_t f = 0; f < wire_places_; ++f) wire(to, f) = wire(from, f);
    }
    /// Room for coefficients of nets; what was there is gone when it changes.
    void make_room(std::size_t places) {
        if (places == wire_places_) return;
        wires_.reset(allocate(places * lanes_ * sizeof(double)));
        std::memset(wires_.get(), 0, places * lanes_ * sizeof(double));
        wire_places_ = places;
    }
    /// The row of what a lane must remember; made at its first use.
    [[nodiscard]] double* history(std::size_t lane) {
        constexpr auto places = static_cast<std::size_t>(history_places);
        if (!history_) history_.reset(allocate(places * lanes_ * sizeof(double)));
        return history_.get() + lane * places;
    }
    [[nodiscard]] double* histories() noexcept { return history_.get(); }
    /// The row of a lane's engine; made at its first use.
    [[nodiscard]] double* engine(std::size_t lane) {
        constexpr auto places = static_cast<std::size_t>(engine_places);
        if (!engines_) {
            engines_.reset(allocate(places * lanes_ * sizeof(double)));
            std::memset(engines_.get(), 0, places * lanes_ * sizeof(double));
        }
        return engines_.get() + lane * places;
    }
    [[nodiscard]] double* engines() noexcept { return engines_.get(); }
    [[nodiscard]] const double* wires() const noexcept { return wires_.get(); }
    [[nodiscard]] double& wire(std::size_t lane, std::size_t f) noexcept {
        nets_changed_ = true;
        return wires_[wire_place(lane, f)];
    }
    /// Coefficients that the nets of all lanes have in common, as one row; null where they are not the same.
    [[nodiscard]] const double* common_net() {
        if (!std::exchange(nets_changed_, false)) return common_there_ ? common_.data() : nullptr;
        const auto wired = [this](std::size_t lane) { return get(lane, names().wire.there) > 0.0; };
        std::size_t first = 0;
        while (first < lanes_ && !wired(first)) ++first;
        common_.resize(wire_places_);
        common_there_ = first < lanes_;
        for (std::size_t f = 0; common_there_ && f < wire_places_; ++f) common_[f] = wires_[wire_place(first, f)];
        for (std::size_t lane = first + 1; common_there_ && lane < lanes_; ++lane)
            for (std::size_t f = 0; wired(lane) && common_there_ && f < wire_places_; ++f)
                common_there_ = same_bits(wires_[wire_place(lane, f)], common_[f]);
        return common_there_ ? common_.data() : nullptr;
    }
    void put_curve(std::size_t lane, std::size_t side, std::size_t track, const control::LearnedTrack& learned) {
        double* row = curves_.get() + (side * sensing::max_tracks + track) * control::curve_knots * lanes_;
        for (std::size_t k = 0; k < control::curve_knots; ++k) row[k * lanes_ + lane] = learned.curve[k];
    }

    /// In place of the members' names.
    [[nodiscard]] static const LaneFields<double>& names() noexcept {
        static const LaneFields<double> prototype{};
        return prototype;
    }

private:
    [[nodiscard]] std::size_t wire_place(std::size_t lane, std::size_t f) const noexcept {
        return (lane / width_ * wire_places_ + f) * width_ + lane % width_;
    }
    /// To the sign of a zero, so that a lane's bits depend on no neighbour.
    [[nodiscard]] static bool same_bits(double a, double b) noexcept {
        return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
    }

    static constexpr std::size_t curve_count = 2 * sensing::max_tracks * control::curve_knots;
    static constexpr std::align_val_t alignment{64};
    struct Free {
        void operator()(double* p) const noexcept { ::operator delete[](p, alignment); }
    };
    static double* allocate(std::size_t bytes) { return static_cast<double*>(::operator new[](bytes, alignment)); }

    [[nodiscard]] static std::size_t place(const double& member) noexcept {
        return static_cast<std::size_t>(&member - reinterpret_cast<const double*>(&names()));
    }

    std::size_t lanes_, width_, wire_places_ = 0;
    std::unique_ptr<double[], Free> fields_, curves_, wires_, engines_, history_;
    std::vector<double> common_;
    bool nets_changed_ = false, common_there_ = false;
};

}  // namespace twintrack::lanes
