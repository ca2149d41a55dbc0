// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "document.hpp"

namespace twintrack::web {

/// A bench that somebody plays with: one key-on after the other, or a range learn, step by step.
class Lab {
public:
    Lab();
    ~Lab();

    /// A key-on, or a range learn, from time zero; the last one is forgotten.
    void key_on(const Document& d);
    void learn(const Document& d);

    /// Makes up to so many ticks, with the foot held at `pedal` or on its stroke where that is absent. Returns how many
    /// were made: fewer when the learn or the run has ended.
    int step(int ticks, std::optional<double> pedal);
    void brake(double braking);
    void inject(fault::Fault f);
    void remove(const std::string& where, const std::string& what);
    /// Other settings of the controller from the tick that is due on. The loop goes on where it is; the monitor keeps
    /// what it was set up with.
    void set_controller(const control::ControllerParameters& p);

    [[nodiscard]] const Record& record() const;
    /// The learn's step at each recorded time, as a number of LearnState; empty in a run.
    [[nodiscard]] const std::vector<double>& learn_states() const noexcept { return learn_states_; }
    /// All answers are JSON whose values are texts; an empty list is an empty text. Names and units of the columns.
    [[nodiscard]] std::string signals() const;
    /// What has become of it so far: time, outcome, reaction, codes, faults, the gains, and the learn's step and
    /// result.
    [[nodiscard]] std::string state() const;
    /// Steps of the learn and rungs of the ladder, in order.
    [[nodiscard]] static std::string names();

private:
    class LiveController;
    [[nodiscard]] bench::Session& session() const;
    [[nodiscard]] bool over() const;

    std::shared_ptr<LiveController> controller_;
    std::unique_ptr<bench::LearnProcedure> procedure_;
    std::unique_ptr<bench::Session> session_;
    std::vector<double> learn_states_;
};

}  // namespace twintrack::web
