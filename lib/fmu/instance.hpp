// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "twintrack/external/model.hpp"

/// The importer finds it in the shared object.
#define FMI __attribute__((visibility("default")))

/// What both versions of the Functional Mock-up Interface have in common. Types, functions and their order are declared
/// here after the standard (FMI 2.0.4 and 3.0.2, Modelica Association), by ourselves.
namespace twintrack::fmu {

/// fmi2Status and fmi3Status count alike.
enum Status { ok = 0, warning = 1, discard = 2, error = 3, fatal = 4 };

/// Value references count the model's variables; after them comes the clock of the control ticks (FMI 3).
using Reference = unsigned int;

/// What an importer holds as a state.
using Saved = std::shared_ptr<const external::Model::Saved>;

/// An instance of a model in an FMU.
class Instance {
public:
    using Log = std::function<void(Status, const char* category, const std::string& message)>;

    /// `resources`: the folder, with bench.json in it. InvalidParameter, also for a foreign `token`.
    Instance(const std::string& resources, const std::string& token, Log log);

    /// Does it; what it throws is logged, and the answer is `error`.
    template <class Work>
    Status attempt(Work&& work) noexcept {
        try {
            work();
            return ok;
        } catch (const std::exception& e) {
            complain(e.what());
        } catch (...) {
            complain("unknown trouble");
        }
        return error;
    }

    void setup(double start, std::optional<double> stop);
    void enter_initialization() noexcept { initializing_ = true; }
    void exit_initialization();
    void reset();
    /// `before`: a tick at the end is left undone.
    void step(double time, double size, bool before = false);

    [[nodiscard]] external::Model& model() noexcept { return *model_; }
    [[nodiscard]] double start() const noexcept { return start_; }
    [[nodiscard]] bool running() const noexcept { return model_->started(); }
    [[nodiscard]] bool logging() const noexcept { return logging_; }
    void logging(bool on) noexcept { logging_ = on; }

    /// Checks the kind. A choice counts from 1, as the standard has enumerations.
    [[nodiscard]] double number(Reference r, Kind kind);
    [[nodiscard]] const char* text(Reference r);
    void set(Reference r, Kind kind, double value);
    void set_text(Reference r, const char* value);
    /// Of an FMI 2 Integer, which an enumeration is too.
    [[nodiscard]] Kind whole(Reference r) const;

private:
    [[nodiscard]] const external::Variable& variable(Reference r, Kind kind) const;
    /// During the initialization outputs are what they will be at its end.
    [[nodiscard]] external::Model& shown(Reference r);
    void complain(const char* what) noexcept;

    std::string json_;
    Log log_;
    std::unique_ptr<external::Model> model_, preview_;
    double start_ = 0.0;
    std::optional<double> stop_;
    bool initializing_ = false, logging_ = false;
};

}  // namespace twintrack::fmu
