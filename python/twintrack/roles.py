# SPDX-License-Identifier: BSD-3-Clause
"""What a monitor and a range learn of one's own answer at a tick (a controller answers a ``Command``)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from . import _core

_ALL = (True, True, True)


class MonitorAnswer(NamedTuple):
    """What ``step(ControlInput, Command)`` of a monitor returns; the name of a reaction alone will do too."""

    #: A rung of the ladder, ``tt.reactions()``.
    reaction: str = "none"
    #: In force at this tick, such as "P2135-62" or a name of one's own; one that is missing has healed.
    codes: Sequence[str] = ()
    #: In place of what the bench's ladder orders for the reaction.
    orders: _core.Action | None = None
    #: Which tracks of the pedal the controller may believe.
    pedal_trust: Sequence[bool] = _ALL
    #: Which tracks of the throttle.
    throttle_trust: Sequence[bool] = _ALL


class LearnAnswer(NamedTuple):
    """What ``step(ControlInput)`` of a range learn returns; while it goes on, a ``Command`` will do."""

    command: _core.Command = _core.Command()
    #: What was learned, which ends the learn.
    accepted: _core.LearnedRange | None = None
    #: Why it is refused, which ends the learn too.
    refused: str | None = None
