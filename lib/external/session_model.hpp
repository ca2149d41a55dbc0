// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <deque>

#include "twintrack/bench/session.hpp"
#include "twintrack/external/model.hpp"

namespace twintrack::external {

/// A bench or a plant: a session, with the controller replaced by what it is told in the case of a plant.
class SessionModel final : public Model {
public:
    explicit SessionModel(Document document);

    [[nodiscard]] Time due() const noexcept override { return due_; }
    void inject(const fault::Fault& fault) override;
    void remove(const std::string& where, const std::string& what) override;

protected:
    void begin() override;
    void tick() override;
    void integrate() override;
    [[nodiscard]] std::shared_ptr<const Inner> save_inner() const override;
    void restore_inner(const Inner& inner) override;
    void look(std::vector<double>& numbers, std::vector<std::string>& texts) override;

private:
    struct Frozen;
    /// A fault switch as it is set, and as it was when it acted last.
    struct Switch {
        bool active = false;
        double amount = 0.0;
        bool acts = false;
        double acting = 0.0;
    };

    [[nodiscard]] bool plant() const noexcept { return document_.kind == ModelKind::plant; }
    [[nodiscard]] bench::Session session();
    [[nodiscard]] control::Unit told() const;
    void add_inputs();
    void add_switches();
    void add_outputs();
    void pass_inputs();
    void turn_switches();
    void check_outcome() const;

    std::shared_ptr<control::Command> command_ = std::make_shared<control::Command>();
    std::optional<bench::Session> session_;
    std::deque<Switch> switches_;
    double pedal_ = -1.0, brake_ = 0.0, duty_ = 0.0;
    int mode_ = 0;
    std::vector<std::string> signals_;  ///< names of the first outputs
    std::vector<int> columns_;          ///< of the session's values; −1: not there as the parameters are now
    Time due_{};
    bool there_ = false;  ///< the body is where the tick that is due will find it
};

}  // namespace twintrack::external
