# SPDX-License-Identifier: BSD-3-Clause
"""The lessons of ``examples/lessons``: their questions with answers, and the bench each begins with.

>>> tt.lessons.check("open loop", "electrical time constant", 1.0)   # in milliseconds, as the question says
>>> tt.lessons.questions("open loop")
>>> tt.lessons.state("two tracks")           # the bench of a lesson as plain values
"""

from .answers import Feedback, bench, check, lessons, questions, state

__all__ = ["Feedback", "bench", "check", "lessons", "questions", "state"]
