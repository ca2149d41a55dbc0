# SPDX-License-Identifier: BSD-3-Clause
"""Which observations disagree, where more than two are needed for it."""

import numpy as np
import pytest

from twintrack.diagnosis.answer import contradiction
from twintrack.diagnosis.readings import Reading


class _Logs:
    """Three causes; none of these is at -4 an observation."""

    def log(self, observed):
        likely = {"a": (0, 0, -40), "b": (0, -40, 0), "c": (-40, 0, 0), "d": (0, 0, 0)}
        return np.append(np.sum([likely[r.a] for r in observed], axis=0), -4.0 * len(observed))


@pytest.mark.parametrize(
    ("points", "disagree"), [("abcd", "abc"), ("cab", "abc"), ("abd", ""), ("cd", ""), ("d", "")]
)
def test_three_that_contradict_only_together(points, disagree):
    """Each two of a, b and c have a cause that explains them, the three have none."""
    found = contradiction(_Logs(), {Reading("volts", p): 0.0 for p in points})
    assert "".join(sorted(r.a for r in found)) == disagree
