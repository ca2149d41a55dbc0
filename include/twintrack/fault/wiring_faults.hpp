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

/// Its edit of the netlist. InvalidParameter unless in_wiring(), and for an unplugged connector, which
/// contact_by_contact() resolves.
[[nodiscard]] wiring::WiringFault edit_of(const Fault& f);

/// The faults with each unplugged connector as open contacts. InvalidParameter for a connector that is not there.
[[nodiscard]] std::vector<Fault> contact_by_contact(const std::vector<Fault>& faults,
                                                    const std::vector<sensing::Terminal>& terminals);

/// In words, with its times left out.
[[nodiscard]] std::string sentence(const Fault& f);

/// wiring::every_single_fault() as faults that begin at `from` and last.
[[nodiscard]] std::vector<Fault> every_single_wiring_fault(const sensing::PedalParameters& pedal,
                                                           const sensing::ThrottleBodyParameters& body, Time from);

/// Throws InvalidParameter, its path beginning with `path`, for what no wiring fault can have.
void check_wiring_fault(const Fault& f, const std::string& path);

/// Kinds of wiring fault with the unit and range of their amount, as entries of the catalogue.
[[nodiscard]] const std::vector<Kind>& wiring_kinds();

/// True while an intermittent fault is there: `lasting` out of each period of `every` since `from`. Where in its period
/// it begins is pseudo-random (a pure function of seed, case and period), each microsecond alike, and what then reaches
/// beyond the period's end is there at its begin instead:
///
///     there at from + n every + φ   ⇔   (φ − s_n) mod every < lasting,      s_n uniform on 0 … every − 1 µs
///
/// A contact that shakes keeps no step with the controller's clock, so no phase is special: at each φ the fault is
/// there with probability lasting/every, whatever the phase of `from` against the sampling; and its share of each
/// period is exact. Of periods in a row whose faults reach across their ends all begin where the first does (the s_n
/// stay uniform), so that none lasts longer than `lasting` across a border.
class Intermittence {
public:
    Intermittence(const Fault& f, std::uint32_t seed, std::uint32_t case_number, std::uint32_t channel);

    [[nodiscard]] bool there(Time now) const noexcept;
    /// Appends the instants inside (begin, end) at which it starts or ends.
    void changes(Time begin, Time end, std::vector<Time>& instants) const;

private:
    /// s of a period.
    [[nodiscard]] Time start(std::int64_t period) const noexcept;

    /// The fault of a period that begins there reaches across the period's end.
    [[nodiscard]] bool across(Time start) const noexcept { return start == Time{0} || start > every_ - lasting_; }
    [[nodiscard]] Time drawn(std::int64_t period) const noexcept;

    Time from_, end_, every_, lasting_;
    mutable std::int64_t known_ = -1;  ///< the period used last,
    mutable Time start_{};             ///< and its s
    NoiseStream stream_;
};

}  // namespace twintrack::fault
