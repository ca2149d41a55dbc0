# SPDX-License-Identifier: BSD-3-Clause
"""Range learns that many cases share."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import Any

from .. import _core
from .study import Pairing, Study


class Learns:
    """Range learns, each made once: all cases that differ in their fault only share one."""

    def __init__(self, study: Study, pairings: list[Pairing]) -> None:
        self._study, self._pairings = study, pairings
        self._first: dict[Pairing, int] = {}
        for number, pairing in enumerate(pairings):
            self._first.setdefault(replace(pairing, fault=None), number)
        self._locks = {pair: threading.Lock() for pair in self._first}
        self._made: dict[Pairing, Any] = {}

    def __call__(self, number: int) -> Any:
        """The LearnResult of a case; ``None`` when nothing is learned."""
        pair = replace(self._pairings[number], fault=None)
        if pair.learn == "none":
            return None
        with self._locks[pair]:
            if pair not in self._made:
                self._made[pair] = _core.run_learn(self._study.case(pair, self._first[pair])).result
            return self._made[pair]
