// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/control/unit.hpp"
#include "twintrack/external/model.hpp"

namespace twintrack::external {

/// The built-in controller alone. It answers at the beginning of a step, by what it was given before.
class ControllerModel final : public Model {
public:
    explicit ControllerModel(Document document);

    [[nodiscard]] Time due() const noexcept override { return due_; }

protected:
    void begin() override;
    [[nodiscard]] bool ticks(Time until) const noexcept override { return due_ < until; }
    void tick() override;
    [[nodiscard]] std::shared_ptr<const Inner> save_inner() const override;
    void restore_inner(const Inner& inner) override;
    void look(std::vector<double>& numbers, std::vector<std::string>& texts) override;

private:
    struct Frozen;
    void add_inputs();
    void add_range(control::LearnedRange& range);
    void add_readings();
    void add_outputs();

    control::Input seen_;
    double time_ = -1.0;  ///< [s] since the controller booted; below 0: the time of the tick
    int contact_ = 0, bridge_state_ = 0, bridge_fault_ = 0;
    control::Unit unit_;
    control::Command command_;
    Time due_{};
};

}  // namespace twintrack::external
