# SPDX-License-Identifier: BSD-3-Clause
"""The bars of an audit."""

from twintrack.audit import plot


def test_bars_tell_every_dangerous_case():
    """Each number that is not too narrow for its bar, and how many there were; without any, that too."""
    counts = {"mine": {"missed": 3, "vain": 0, "caught": 7}, "other": {"missed": 0, "vain": 0, "caught": 0}}
    figure = plot.danger_bars(counts)
    texts = [text.get_text() for text in figure.axes[0].texts]
    assert texts == ["▲ 3", "✔ 7", "of 10", "nothing dangerous"]
    widths = [bar.get_width() for bar in figure.axes[0].patches]
    assert widths == [3, 0, 7, 0, 0, 0]
