// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <vector>

#include "twintrack/core/random.hpp"
#include "twintrack/fault/fault.hpp"
#include "twintrack/wiring/wiring_fault.hpp"

/// Faults of the wiring among the faults of a run. Their places are the terminals of the very pair, so that a schedule
/// checks what they are, and a bench checks where.
namespace twintrack::fault {

/// `what` is a kind of wiring fault.
[[nodiscard]] bool in_wiring(const Fault& f);

/// The edit of the netlist it stands for. InvalidParameter unless in_wiring().
[[nodiscard]] wiring::WiringFault edit_of(const Fault& f);

/// In words, with its times left out.
[[nodiscard]] std::string sentence(const Fault& f);

/// wiring::every_single_fault() as faults that begin at `from` and last.
[[nodiscard]] std::vector<Fault> every_single_wiring_fault(const sensing::PedalParameters& pedal,
                                                           const sensing::ThrottleBodyParameters& body, Time from);

/// Throws InvalidParameter, its path beginning with `path`, for what no wiring fault can have.
void check_wiring_fault(const Fault& f, const std::string& path);

/// Kinds of wiring fault with the unit and range of their amount, as entries of the catalogue.
[[nodiscard]] const std::vector<Kind>& wiring_kinds();

/// True while an intermittent fault is there: `lasting` out of each period of `every` since `from`, beginning at a
/// pseudo-random instant of each period (a pure function of seed, case and period), because a contact that shakes does
/// not keep step with the controller's clock; so that no sampling rate can miss or meet it every time.
class Intermittence {
public:
    Intermittence(const Fault& f, std::uint32_t seed, std::uint32_t case_number, std::uint32_t channel);

    [[nodiscard]] bool there(Time now) const noexcept;
    /// Appends the instants inside (begin, end) at which it comes or goes.
    void changes(Time begin, Time end, std::vector<Time>& instants) const;

private:
    [[nodiscard]] Time opening(std::int64_t period) const noexcept;

    Time from_, end_, every_, lasting_;
    NoiseStream stream_;
};

}  // namespace twintrack::fault
