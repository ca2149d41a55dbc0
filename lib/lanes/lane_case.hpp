// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <array>
#include <limits>

#include "block.hpp"
#include "limits.hpp"
#include "twintrack/bench/engine_loop.hpp"
#include "twintrack/bench/faulted_body.hpp"
#include "twintrack/bench/independent_supervision.hpp"
#include "twintrack/bench/wires.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/lanes/run.hpp"
#include "twintrack/monitor/monitor.hpp"

namespace twintrack::lanes {

/// A case in its lane: what the lane cannot do by itself, one scalar at a time.
///
/// Fills the lane, changes it at events (knots of the stroke, faults), decides with the bench's own monitor and
/// controller when the lane is flagged, records, and makes the result.
class LaneCase {
public:
    /// Throws InvalidParameter.
    LaneCase(std::size_t index, Case c, const Options& options, Block& block, std::size_t lane);

    /// The number of the first tick that needs begin(), or after which the case is over.
    [[nodiscard]] std::int64_t stop() const noexcept { return std::min({event_, host_at_, ticks_}); }
    [[nodiscard]] std::int64_t tick() const noexcept { return static_cast<std::int64_t>(get(names_.tick)); }
    [[nodiscard]] bool over() const noexcept { return !failure_.empty() || tick() >= ticks_; }

    /// Faults and stroke of the tick that is due.
    void begin();
    /// Monitor and controller of this tick.
    void decide();
    void store();
    /// `ago`: since it happened.
    void fail(std::string why, Time ago = {}) {
        if (failure_.empty()) failure_ = std::move(why), failed_at_ = time() - ago;
    }
    [[nodiscard]] Time period() const noexcept { return period_; }
    [[nodiscard]] Result result();

    [[nodiscard]] int substeps() const noexcept { return substeps_; }
    [[nodiscard]] bool ordered() const noexcept { return ordered_; }
    [[nodiscard]] bool led() const noexcept { return led_; }
    /// Decided here at every tick, with nothing for the lane to control.
    [[nodiscard]] bool host_only() const noexcept { return host_every_tick_ && !engine_; }
    /// Makes an empty lane a copy of this one that never needs the host.
    void fill_empty_lane(std::size_t lane) noexcept;
    /// Widens the shape to this case.
    void widen(Shape& shape) const;
    /// Writes the net of its harness where the block's shape, which must outlive it, has room for it.
    void put_net(const Shape& shape);
    [[nodiscard]] bool has_net() const noexcept { return shape_ != nullptr; }
    /// A clamp or regulator leaves its segment: the host finds the net's new segments.
    void find_net_segments();

private:
    [[nodiscard]] double& at(const double& member) noexcept { return block_->at(lane_, member); }
    [[nodiscard]] double get(const double& member) const noexcept { return block_->get(lane_, member); }
    [[nodiscard]] Time time() const noexcept { return Time{static_cast<std::int64_t>(get(names_.time))}; }
    [[nodiscard]] std::int64_t tick_at(Time t) const noexcept { return (t + period_ - Time{1}) / period_; }

    void follow_stroke();
    void follow_faults();
    [[nodiscard]] Time next_change(Time now) const;
    void catch_up();
    [[nodiscard]] bool nothing_found() const;
    [[nodiscard]] bool may_skip(const monitor::Action& action) const;
    [[nodiscard]] bool order(const monitor::Action& action, const control::Input& in);
    [[nodiscard]] std::array<monitor::AssemblyMonitor::Anchors, 2> anchors() const;
    void keep_anchors();
    [[nodiscard]] std::vector<monitor::FunctionMonitor::Counts> skipped_counts(std::int64_t ticks) const;
    void tell_of_engine(control::Input& in) const;
    void resume_clocks();
    void follow_clocks();
    void limit_fuel(const monitor::Action& action);
    struct Values;
    struct EngineValues;
    [[nodiscard]] double engine_signal(std::size_t which) const;
    void follow_wires();
    [[nodiscard]] std::array<double, 2> feeds() const;  ///< of the wiring [V]: reference, battery
    [[nodiscard]] wiring::HarnessInput wire_input() const;
    void wired(control::Input& in) const;
    void put_law();
    [[nodiscard]] control::Input input(bool before) const;
    [[nodiscard]] control::Command last_command() const;
    [[nodiscard]] control::Controller::Memory memory() const;
    void learn();
    void take(const control::Command& command);
    void keep(const control::Controller::Memory& memory);
    [[nodiscard]] double motor_voltage() const;
    [[nodiscard]] double signal(std::size_t which) const;

    std::size_t index_;
    Case case_;
    Block* block_;
    std::size_t lane_;
    const LaneFields<double>& names_ = Block::names();
    Time period_;
    int substeps_;
    std::int64_t ticks_ = 0;        ///< of the whole case
    std::int64_t event_ = 0;        ///< the next tick at which something changes from outside
    bool skipping_ = false;         ///< since the last tick that was decided here
    std::int64_t host_until_ = 0;   ///< not to sleep before
    std::int64_t host_at_ = 0;      ///< the next tick that needs the monitor
    std::int64_t decided_ = 0;      ///< ticks, here
    std::int64_t decided_at_ = -1;  ///< the last tick that was decided here
    std::int64_t record_every_;
    fault::Schedule faults_;
    fault::Effects effects_;
    bench::Stops stops_;
    Table pedal_map_;
    control::Controller controller_;
    std::optional<bench::LearnProcedure> learning_;  ///< in place of monitor and controller
    std::optional<monitor::Monitor> monitor_;        ///< from the first time on that there is something to decide
    std::optional<bench::IndependentSupervision> look_;
    monitor::Reaction reaction_ = monitor::Reaction::none;  ///< of the last tick that was decided here
    control::SelfTest self_test_ = control::SelfTest::none;
    bool led_ = false;              ///< the lane's pedal and blade are not by the first tracks
    bool ordered_ = false;          ///< limits or orders of the lane are not those of a healthy case
    bool host_every_tick_ = false;  ///< always decided here
    std::optional<bench::Wires> wires_;
    std::array<double, 2> wired_for_{std::numeric_limits<double>::quiet_NaN(), 0.0};  ///< reference, battery
    bool engine_;                                                                     ///< there is one
    engine::SpeedLimit speed_limit_;                                                  ///< of a reaction
    const Shape* shape_ = nullptr;
    std::string failure_;
    Time failed_at_{};
    double reacted_at_ = std::numeric_limits<double>::quiet_NaN();
    std::vector<std::size_t> signals_;
    std::vector<double> row_;  ///< of the record
    Record record_;
};

/// The lane's fields at key-on. Throws InvalidParameter for what cannot run in lanes.
[[nodiscard]] LaneFields<double> first_fields(const Case& c, const control::Controller& controller,
                                              const fault::Effects& effects, const bench::Stops& stops, Time period,
                                              int substeps);

/// The first tick at or after `t` [s].
[[nodiscard]] std::int64_t first_tick(double t, Time period);
/// The engine of a case at key-on, with the blade at `angle` [rad]; its delays and tables go to the lane's row.
[[nodiscard]] EngineFields<double> engine_fields(const Case& c, double angle, Time period, Block& block,
                                                 std::size_t lane);
/// Whether a lane's row has room for the table.
[[nodiscard]] bool fits_lanes(const monitor::AirFlowParameters& p);

/// How much of each a harness has.
[[nodiscard]] NetShape net_of(const Case& c, const wiring::HarnessLaw& law);

/// Fields that faults change.
void apply(const fault::Effects& e, const bench::Stops& stops, const bench::BenchParameters& p, LaneFields<double>& f);

/// More than what wakes a lane: monitor and controller of the case run at every tick.
[[nodiscard]] bool needs_host_every_tick(const Case& c);
/// Until its case has decided that it may sleep.
[[nodiscard]] bool starts_with_host(const monitor::MonitorParameters& m);
/// A case with supervision beside the monitor, or with a brake that the monitor reads.
[[nodiscard]] std::optional<bench::IndependentSupervision> independent_supervision(const Case& c);

/// Places among recordable_signals() of those named that there are; throws InvalidParameter for an unknown name.
[[nodiscard]] std::vector<std::size_t> columns_of(const std::optional<bench::IndependentSupervision>& look, bool engine,
                                                  const std::vector<std::string>& names);
[[nodiscard]] std::vector<Signal> recorded_at(const std::vector<std::size_t>& columns);

}  // namespace twintrack::lanes
