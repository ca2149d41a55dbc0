# SPDX-License-Identifier: BSD-3-Clause
"""The cautions, each stated once: pages, terminal output, help, examples and headers repeat these words.

``tests/python/test_cautions.py`` looks for them where they must stand.
"""

from __future__ import annotations

#: In short: on top of every page, under every terminal summary, in every help text and example.
CAUTION = (
    "Caution: local law and licensed practice come first. A simulation is no proof of safety. "
    "At a real throttle: engine off, wheels chocked, hands and tools out of the bore; "
    "the blade can move by itself."
)

#: Where an engine runs behind the throttle.
ENGINE_CAUTION = (
    "At a running engine: wheels chocked, no gear engaged, a second way to stop the engine in reach, "
    "the exhaust led out."
)

#: At length: at the end of every page and in README.
CAUTIONS = (
    "Local law and licensed practice come first, then the data of the components' makers.",
    "A simulation is no proof of safety: it covers only the parts and the faults that were described to it. "
    "An electronic throttle can open without warning and hurt people.",
    "At a real throttle: engine off, wheels chocked, hands and tools out of the bore. "
    "The blade moves by itself during a range learn and twitches when the key is turned on. "
    "Before anything is touched in the bore: key off and motor unplugged.",
    ENGINE_CAUTION,
    "Built-in parts are invented or taken from the literature; none describes the part in your hands.",
)

#: Experiments with a throttle body on a test stand.
EXPERIMENT_CAUTIONS = (
    "In each of these experiments the blade moves by itself, hard and without warning: hands, tools and "
    "hoses out of the bore; the body off the engine, clamped, guarded; a switch in reach that cuts the "
    "power.",
    "Limit the current at the source to what the motor's maker allows, and the time against a stop to about "
    "a second: a stalled winding heats within seconds. Let it cool down between runs.",
    "Work on throttle controls is for licensed practice where the law says so. What is identified here "
    "describes one body on one day; it is no release of a part for use.",
)
