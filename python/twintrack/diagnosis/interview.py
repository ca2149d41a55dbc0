# SPDX-License-Identifier: BSD-3-Clause
"""Question and answer until one group of causes is left: in a program, a notebook, or the terminal."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ..errors import InputError
from .answer import Answer
from .explain import Diagnosis
from .next_reading import STATES, Suggestion, known_states, state_of
from .observed import Observed, reply
from .readings import Reading

#: Share of probability at which one group counts as found.
ENOUGH = 0.95

HELP = (
    "a value such as 2.15 V, 0.2 ohm, open, or a word; 'skip' to be asked another; 'cannot' to leave out all "
    "that need this state; 'stop'"
)


class Interview:
    """What is known, and what to measure next.

    >>> interview = tt.diagnose(bench, {"codes": ["P2138"]})
    >>> interview.question            # what to measure, how, and what each cause would show
    >>> interview.tell("2.15 V")      # or interview.skip()
    >>> interview.response
    """

    def __init__(
        self, model: Diagnosis, observed: Mapping[str, Any] | None = None, enough: float = ENOUGH
    ) -> None:
        if not 0.5 <= enough < 1.0:
            raise InputError(f"enough: must lie between 0.5 and 1, not {enough:g}")
        self.model, self.enough = model, enough
        self._observed: Observed = model.checked(observed) if observed else {}
        self._skipped: set[Reading] = set()
        self._without: list[str] = []
        self._update()

    def _update(self) -> None:
        self.response: Answer = self.model.answer(self._observed)
        self._open = [] if self.found else self.model.next(self.response, without=self._without)
        self._open = [one for one in self._open if one.reading not in self._skipped]

    @property
    def found(self) -> bool:
        """One group has nearly all of the probability."""
        return self.response.best.probability >= self.enough

    @property
    def question(self) -> Suggestion | None:
        """What to measure next; ``None``: one group is left, or no reading distinguishes the rest."""
        return self._open[0] if self._open else None

    @property
    def asked(self) -> int:
        """How many observations there are."""
        return len(self._observed)

    def tell(self, value: Any) -> Interview:
        """The answer to :attr:`question`. Raises :class:`InputError` for what cannot be one."""
        if self.question is None:
            raise InputError("no question is left")
        reading = self.question.reading
        self._observed[reading] = reply(reading, value, self.model.known)
        self._update()
        return self

    def add(self, observed: Mapping[str, Any]) -> Interview:
        """What was observed without being asked for, as :func:`explain` takes it."""
        self._observed |= self.model.checked(observed)
        self._update()
        return self

    def skip(self) -> Interview:
        """Another question, please."""
        if self.question is not None:
            self._skipped.add(self.question.reading)
            self._update()
        return self

    def cannot(self, state: str | None = None) -> Interview:
        """Leave out all that needs a state (default: that of the question): "off", "still", "live", "learn",
        "running"."""
        state = state or (state_of(self.question.reading) if self.question else "")
        if state not in STATES:
            raise InputError(
                f"there is no state {state!r}; there are: {', '.join(known_states(self.model.known))}"
            )
        self._without.append(state)
        self._update()
        return self

    def __str__(self) -> str:
        if self.question is not None:
            return f"{self.response}\n\n{self.question}"
        end = (
            "One group is left."
            if self.found
            else "No further measurement distinguishes the causes that are left."
        )
        return f"{self.response}\n\n{end}"

    def _repr_html_(self) -> str:
        from html import escape

        asked = f"<pre>{escape(str(self.question))}</pre>" if self.question else ""
        return self.response._repr_html_() + asked


def converse(interview: Interview, ask: Callable[[str], str], tell: Callable[[str], Any]) -> Answer:
    """The loop of the terminal: ``ask`` gets a line, ``tell`` shows one."""
    tell(str(interview))
    while interview.question is not None:
        given = ask("it shows").strip()
        if given == "stop":
            break
        try:
            if given in ("", "?", "help"):
                tell(HELP)
                continue
            step = {"skip": interview.skip, "cannot": interview.cannot}.get(given)
            interview = step() if step else interview.tell(given)
        except InputError as error:
            tell(f"{error}\n({HELP})")
            continue
        tell("\n" + str(interview))
    return interview.response
