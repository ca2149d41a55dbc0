// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <atomic>
#include <mutex>

#include "lane_case.hpp"

namespace twintrack::lanes {

/// What the workers of a run share. Source and sink are called under its lock.
class Work {
public:
    Work(std::size_t count, const Source& source, const Sink& sink) : count_(count), source_(source), sink_(sink) {}

    /// The next case, or nothing when there are no more or the run is to stop.
    [[nodiscard]] std::optional<std::pair<std::size_t, Case>> next();
    /// Blocks tick together: every case must have the first one's control period.
    void check_period(const Case& c);
    void deliver(Result&& result);
    /// A case cannot be run: the run stops; the first of them by number is reported.
    void refuse(std::size_t index, std::exception_ptr why);

    void stop() noexcept { stopped_ = true; }
    [[nodiscard]] bool stopped() const noexcept { return stopped_; }
    void rethrow() const;

private:
    std::size_t count_;
    const Source& source_;
    const Sink& sink_;
    std::mutex lock_;
    std::size_t next_ = 0;
    double period_ = 0.0;
    std::atomic<bool> stopped_ = false;
    std::size_t refused_ = 0;
    std::exception_ptr why_;
};

/// One thread's block of lanes.
class Worker {
public:
    Worker(const Kernel& kernel, const Options& options, Work& work)
        : kernel_(kernel),
          options_(options),
          work_(work),
          block_(kernel),
          cases_(static_cast<std::size_t>(kernel.lanes)) {}

    /// Until there are no more cases.
    void run();

private:
    [[nodiscard]] bool next_events();
    bool load_next_case(std::size_t lane);
    void reshape();
    [[nodiscard]] int free_ticks() const;
    void step();
    [[nodiscard]] LaneBits act();
    void connect(LaneBits (*solve)(void*, const Shape&));
    void decide(LaneBits flagged);
    void mark(LaneBits failed);

    Kernel kernel_;
    const Options& options_;
    Work& work_;
    Block block_;
    std::vector<std::optional<LaneCase>> cases_;
    Shape shape_;
    bool host_only_ = false;  ///< every lane is decided by its case at every tick
};

}  // namespace twintrack::lanes
