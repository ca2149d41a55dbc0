// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <memory>
#include <optional>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/bench/stroke.hpp"
#include "twintrack/bench/units.hpp"
#include "twintrack/control/range_store.hpp"
#include "twintrack/core/outcome.hpp"
#include "twintrack/core/record.hpp"
#include "twintrack/fault/fault.hpp"
#include "twintrack/monitor/fault_memory.hpp"
#include "twintrack/wiring/connection.hpp"

namespace twintrack::bench {

/// What a session can be given besides its bench.
struct SessionOptions {
    std::optional<control::LearnedRange> learned{};  ///< absent: the controller has never learned
    fault::Schedule faults{};
    std::optional<control::RangeStore> memory{};  ///< the controller's memory; when given, read in place of `learned`
    control::Unit controller{};          ///< replaces the built-in controller when set, for good; the monitor stays
    monitor::MonitorFunction monitor{};  ///< the same of the built-in monitor
    Units units{};          ///< controller and monitor by factories, made again after each reset of the controller
    bool monitored = true;  ///< false while a range learn runs: there is nothing to compare with yet
    std::optional<Time> key_off{};       ///< the key is turned off then; absent: it stays on
    std::optional<Time> engine_turns{};  ///< the engine turns from then on; absent: it is at rest
    std::optional<Stroke> brake{};       ///< how hard the driver brakes (0 … 1) over time; absent: there is no brake
    monitor::FaultMemory history{};      ///< codes of earlier key cycles
    bool recorded = true;                ///< false: record() stays empty, values() are there all the same
};

/// Values of one tick: everything the record holds, by name.
struct Snapshot {
    Time time{};
    double pedal_travel = 0.0;   ///< true, share of travel
    double asked = 0.0;          ///< the pedal map's opening at the true travel
    double blade_opening = 0.0;  ///< true, share of the travel between the stops
    plant::State<double> body{};
    wiring::TrackValues pedal_volts{};     ///< [V] at the controller's pins
    wiring::TrackValues throttle_volts{};  ///< [V]
    double motor_voltage = 0.0;            ///< [V]
    double supply = 0.0;                   ///< [V] at the controller
    bool awake = true;                     ///< the controller is not in reset
    control::Input input;
    control::Command command;
    monitor::Reaction reaction = monitor::Reaction::none;
    monitor::Action action{};                             ///< what it orders
    double braking = 0.0;                                 ///< true, share of full braking
    double brake_volts = 0.0;                             ///< [V] of the brake's sensor
    monitor::FunctionMonitor::Reason function_monitor{};  ///< why the function monitor has taken the power away
    monitor::ShutdownDevice::Reason device{};             ///< why the independent device has tripped
};

/// One key-on of a bench, from rest: a clock that steps controller ticks.
///
/// At a tick: faults → sensors → wiring → sampling → (idle governor) → monitor → control → record; then the body, and
/// the engine behind it, are integrated to the next tick under the duty of this one. The first tick is at time zero,
/// with the blade at its default position.
class Session {
public:
    Session(const BenchParameters& p, Stroke stroke, SessionOptions options = {});
    ~Session();
    /// A session that continues from here by itself: plant, noise, monitor, codes and record as they are now. The
    /// controller is copied too (control/unit.hpp), or replaced by `controller`.
    [[nodiscard]] Session fork(control::Unit controller = {}) const;
    Session(Session&&) noexcept;
    Session& operator=(Session&&) noexcept;

    /// Makes the tick that is due, then integrates to the next one. Does nothing once the outcome is not "completed".
    const Snapshot& step();
    /// Makes the tick that is due without integrating further: the last one of a run, or to look at it; then step()
    /// only integrates.
    const Snapshot& finish();
    /// The first part of the tick that is due, up to what the controller will read: foot, pins, readings, current. The
    /// rest is made by finish() or step().
    const Snapshot& sense();

    /// From the tick that is due on the foot stays there [share of travel], in place of the stroke; absent: back to
    /// it.
    void hold_pedal(std::optional<double> travel);
    /// How hard the driver brakes from now on (0 … 1). InvalidParameter when the bench has no brake.
    void hold_brake(double braking);
    /// The fault is there from the next tick on (the one that is due, until it is begun), or from its own time when
    /// that is later. InvalidParameter for one that cannot be, or cannot be beside those there are; then nothing has
    /// changed.
    void inject(fault::Fault f);
    /// A fault of that place and kind is over from the next tick on. InvalidParameter when there is none.
    void remove(const std::string& where, const std::string& what);
    [[nodiscard]] const std::vector<fault::Fault>& faults() const noexcept;

    [[nodiscard]] const Snapshot& snapshot() const noexcept;
    [[nodiscard]] Time time() const noexcept;  ///< of the tick that is due
    [[nodiscard]] const Record& record() const noexcept;
    [[nodiscard]] Record take_record();
    /// The signals of record() as they are now, in the order of its columns.
    [[nodiscard]] const std::vector<double>& values();
    [[nodiscard]] const std::vector<monitor::TroubleCode>& codes() const noexcept;
    /// Each code with its state, count and freeze-frame; give it to the session of the next key-on.
    [[nodiscard]] const monitor::FaultMemory& history() const noexcept;
    /// Completed as far as it has gone, up to the last tick that was made; or why the last one was the last.
    [[nodiscard]] const Outcome& outcome() const noexcept;

private:
    class Implementation;
    explicit Session(std::unique_ptr<Implementation> implementation);
    std::unique_ptr<Implementation> implementation_;
};

/// The signals every session records, in the order of its columns; those of a brake, a function monitor, an
/// independent device and an engine follow where there is one.
[[nodiscard]] std::vector<Signal> recorded_signals(bool with_engine = false);

}  // namespace twintrack::bench
