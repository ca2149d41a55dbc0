// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/shared_controller.hpp"

#include <dlfcn.h>

#include <algorithm>
#include <array>
#include <stdexcept>

#include "twintrack/c/controller.h"
#include "twintrack/core/error.hpp"

namespace twintrack::control {

static_assert(TWINTRACK_TRACKS == sensing::max_tracks && TWINTRACK_KNOTS == curve_knots);

struct SharedController::Library {
    void* handle = nullptr;
    std::string path;
    decltype(&twintrack_new) create = nullptr;
    decltype(&twintrack_step) step = nullptr;
    decltype(&twintrack_delete) destroy = nullptr;
    decltype(&twintrack_copy) copy = nullptr;

    explicit Library(const std::string& file) : path(file) {
        // With a slash it is a file, and not looked for among the system's libraries.
        const std::string place = file.find('/') == std::string::npos ? "./" + file : file;
        handle = dlopen(place.c_str(), RTLD_NOW | RTLD_LOCAL);
        if (!handle) fail(std::string("does not load: ") + dlerror());
        try {
            const auto version = found<decltype(&twintrack_version)>("twintrack_version")();
            if (version != TWINTRACK_C_VERSION)
                fail("is of version " + std::to_string(version) +
                     " of twintrack/c/controller.h; allowed: " + std::to_string(TWINTRACK_C_VERSION));
            create = found<decltype(create)>("twintrack_new");
            step = found<decltype(step)>("twintrack_step");
            destroy = found<decltype(destroy)>("twintrack_delete");
            copy = reinterpret_cast<decltype(copy)>(dlsym(handle, "twintrack_copy"));
        } catch (...) {
            dlclose(handle);
            throw;
        }
    }
    ~Library() { dlclose(handle); }
    Library(const Library&) = delete;
    Library& operator=(const Library&) = delete;

    [[noreturn]] void fail(const std::string& why) const { throw InvalidParameter("unit '" + path + "'", why); }

    template <class Function>
    [[nodiscard]] Function found(const char* name) const {
        void* const symbol = dlsym(handle, name);
        if (!symbol) fail(std::string("has no function ") + name);
        return reinterpret_cast<Function>(symbol);
    }
};

namespace {

using Library = std::shared_ptr<const SharedController::Library>;

void put(const std::vector<LearnedTrack>& tracks, double (*to)[TWINTRACK_KNOTS]) {
    for (std::size_t k = 0; k < tracks.size(); ++k) std::copy(tracks[k].curve.begin(), tracks[k].curve.end(), to[k]);
}

twintrack_learned plain(const LearnedRange& r) {
    twintrack_learned l{};
    l.size = sizeof l;
    l.pedal_tracks = static_cast<std::uint32_t>(r.pedal.size());
    l.throttle_tracks = static_cast<std::uint32_t>(r.throttle.size());
    put(r.pedal, l.pedal), put(r.throttle, l.throttle);
    l.default_opening = r.default_opening;
    return l;
}

twintrack_input plain(const Input& in) {
    twintrack_input i{};
    i.size = sizeof i;
    i.motor_permitted = in.motor_permitted, i.key_on = in.key_on, i.engine_still = in.engine_still;
    i.lowest_track = in.lowest_track, i.brake_applied = in.brake_applied, i.brake_hard = in.brake_hard;
    const auto all = [](const auto& from, auto* to) { std::copy(from.begin(), from.end(), to); };
    all(in.pedal_trust, i.pedal_trust), all(in.throttle_trust, i.throttle_trust);
    all(in.pedal, i.pedal), all(in.throttle, i.throttle);
    all(in.pedal_reference, i.pedal_reference), all(in.throttle_reference, i.throttle_reference);
    i.time = seconds(in.time);
    i.supply = in.supply, i.motor_current = in.motor_current, i.idle_opening = in.idle_opening;
    i.demand_limit = in.demand_limit, i.demand_slope = in.demand_slope;
    i.brake = in.brake, i.air_flow = in.air_flow;
    return i;
}

/// One controller of the library.
class Instance {
public:
    Instance(Library library, void* self) : library_(std::move(library)), self_(self) {}
    ~Instance() { library_->destroy(self_); }
    Instance(const Instance&) = delete;
    Instance& operator=(const Instance&) = delete;

    Command step(const Input& in) {
        const twintrack_input given = plain(in);
        twintrack_command c{};
        c.size = sizeof c;
        c.mode = TWINTRACK_HIGH_IMPEDANCE;
        if (const int status = library_->step(self_, &given, &c); status != 0)
            throw std::runtime_error("twintrack_step answered " + std::to_string(status));
        return {static_cast<plant::BridgeMode>(c.mode), c.duty, c.pedal, c.demand, c.set_point, c.opening};
    }

    [[nodiscard]] std::shared_ptr<Instance> copied() const {
        void* const other = library_->copy ? library_->copy(self_) : nullptr;
        if (!other) library_->fail("cannot be copied: it has no twintrack_copy, or that answered NULL");
        return std::make_shared<Instance>(library_, other);
    }

private:
    Library library_;
    void* self_;
};

/// Copies the controller with itself.
struct Stepped {
    std::shared_ptr<Instance> instance;

    explicit Stepped(std::shared_ptr<Instance> i) : instance(std::move(i)) {}
    Stepped(const Stepped& other) : instance(other.instance->copied()) {}
    Stepped(Stepped&&) noexcept = default;
    Stepped& operator=(const Stepped&) = delete;
    Stepped& operator=(Stepped&&) noexcept = default;
    ~Stepped() = default;
    Command operator()(const Input& in) { return instance->step(in); }
};

}  // namespace

SharedController::SharedController(const std::string& path) : library_(std::make_shared<const Library>(path)) {}

Unit SharedController::make(const std::optional<LearnedRange>& learned, Time period) const {
    std::array<char, 512> error{};
    twintrack_learned range{};
    if (learned) range = plain(*learned);
    void* const self = library_->create(learned ? &range : nullptr, seconds(period), error.data(), error.size());
    error.back() = '\0';
    if (!self) library_->fail(std::string("refuses: ") + (error[0] ? error.data() : "twintrack_new answered NULL"));
    return Stepped(std::make_shared<Instance>(library_, self));
}

}  // namespace twintrack::control
