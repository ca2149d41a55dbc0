// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "twintrack/core/time.hpp"
#include "twintrack/external/document.hpp"
#include "twintrack/external/variable.hpp"

namespace twintrack::external {

/// A bench, a plant or a controller as another program steps it: variables by number, and a clock.
///
/// Its own clock is the control tick, at 0, T, 2T, …; between ticks its outputs are those of the last one. At a tick
/// the inputs count as they were set last; a bench makes its first tick at the start. A plant has measured what its
/// outputs say at a tick, and drives the motor from then on as it is told before the next advance().
/// One model is one thread's; several models may run at once.
class Model {
public:
    /// A document as document.hpp describes it. InvalidParameter.
    [[nodiscard]] static std::unique_ptr<Model> make(Document document);

    virtual ~Model();
    Model(const Model&) = delete;
    Model& operator=(const Model&) = delete;

    [[nodiscard]] const Document& document() const noexcept { return document_; }
    /// The parameters first, then tunable ones and inputs, then outputs; the same for the same document.
    [[nodiscard]] const std::vector<Variable>& variables() const noexcept { return variables_; }
    /// Numbers, integers, flags (0, 1) and choices (from 0). InvalidParameter for a text and for no such number.
    [[nodiscard]] double number(std::size_t index);
    [[nodiscard]] const std::string& text(std::size_t index);
    /// InvalidParameter for what is out of range, and for what may not be set now.
    void set(std::size_t index, double value);
    void set_text(std::size_t index, const std::string& value);

    /// Takes the parameters; with `learned` = "fresh" the range learn is run first. InvalidParameter.
    void start();
    [[nodiscard]] bool started() const noexcept { return started_; }
    /// Makes all ticks up to that time (of a controller: before it). std::runtime_error once a run has ended.
    void advance(Time until);
    /// The same, but a tick at `until` itself is left to advance(): the body has moved there, and what is set now still
    /// counts at that tick.
    void approach(Time until);
    [[nodiscard]] Time time() const noexcept { return time_; }  ///< that advance() was told last
    [[nodiscard]] Time period() const noexcept;
    /// Of the tick to come.
    [[nodiscard]] virtual Time due() const noexcept = 0;

    /// Faults beside the switches, on models that have any; as Session has them. InvalidParameter.
    virtual void inject(const fault::Fault& fault);
    virtual void remove(const std::string& where, const std::string& what);

    /// All that it is now, parameters included; it can be given back to this model or to another of the same document.
    class Saved;
    [[nodiscard]] std::shared_ptr<const Saved> save() const;
    void restore(const Saved& saved);

protected:
    struct Slots;
    explicit Model(Document document);
    /// Of a saved model, what it runs.
    class Inner {
    public:
        virtual ~Inner() = default;
    };

    virtual void begin() = 0;
    [[nodiscard]] virtual bool ticks(Time until) const noexcept { return due() <= until; }
    virtual void tick() = 0;
    /// Brings the body to the tick that is due, before tick() makes it.
    virtual void integrate() {}
    [[nodiscard]] virtual std::shared_ptr<const Inner> save_inner() const = 0;
    virtual void restore_inner(const Inner& inner) = 0;
    /// Fills in the numbers and the texts of the outputs.
    virtual void look(std::vector<double>& numbers, std::vector<std::string>& texts) = 0;

    void add(Variable v, void* at);
    void add_output(Variable v);

    /// What the controller has learned at the start; there is none before.
    [[nodiscard]] const std::optional<control::LearnedRange>& learned() const noexcept { return learned_; }

    Document document_;

private:
    [[nodiscard]] std::size_t output(std::size_t index);
    void settable(std::size_t index) const;
    [[nodiscard]] std::optional<control::LearnedRange> learn() const;

    std::unique_ptr<Slots> slots_;
    std::vector<Variable> variables_;
    std::optional<control::LearnedRange> learned_;
    std::vector<double> numbers_;
    std::vector<std::string> texts_;
    bool started_ = false, looked_ = false;
    Time time_{};
};

}  // namespace twintrack::external
