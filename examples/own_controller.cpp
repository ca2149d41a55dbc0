// SPDX-License-Identifier: BSD-3-Clause
// A controller of one's own in place of the built-in one: anything with Command(const Input&) will do.
// This one is a bare proportional loop, with no integral and no feed-forward, so springs and friction keep it from
// where it wants to be; the monitor sees the deviation and removes the motor's power.
// Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle: engine
// off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
#include <algorithm>
#include <iomanip>
#include <iostream>
#include <twintrack/bench/run.hpp>

namespace {

using namespace twintrack;

class ProportionalController {
public:
    explicit ProportionalController(const control::LearnedRange& learned) : learned_(learned) {}

    control::Command operator()(const control::Input& in) const {
        control::Command command;
        command.pedal = learned_.pedal[0].linear_position(in.pedal[0]);
        command.demand = command.set_point = command.pedal;
        command.opening = learned_.throttle[0].linear_position(in.throttle[0]);
        if (in.motor_permitted) {
            command.mode = plant::BridgeMode::drive;
            command.duty = std::clamp(gain_ * (command.set_point - command.opening), -0.9, 0.9);
        }
        return command;
    }

private:
    control::LearnedRange learned_;
    double gain_ = 2.0;  // duty per share of travel
};

}  // namespace

int main() {
    const bench::BenchParameters pair;
    const bench::LearnRun learn = bench::learn(pair);
    if (!learn.result.accepted) {
        std::cerr << "the learn was refused: " << learn.result.reason << "\n";
        return 1;
    }
    const auto run =
        bench::run(pair, bench::Stroke::rest_half_full_rest(), {},
                   {.learned = learn.result.range, .controller = ProportionalController(*learn.result.range)});
    const auto time = run.record.time(), asked = run.record.column("asked"), blade = run.record.column("blade.opening");
    std::cout << std::fixed << std::setprecision(3);
    for (std::size_t i = 0; i < time.size(); i += 500)
        std::cout << time[i] << " s  asked " << asked[i] << "  blade " << blade[i] << "\n";
    for (const auto& code : run.codes) std::cout << code.text() << " at " << seconds(code.confirmed) << " s\n";
    return run.outcome.ok() ? 0 : 1;
}
