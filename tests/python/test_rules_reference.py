# SPDX-License-Identifier: BSD-3-Clause
"""Our evaluator against a general-purpose library of signal temporal logic (RTAMT, discrete time, offline).

A thousand random formulas on random traces. The library has the same conventions at the ends of a trace
(always and historically weak, the others strong) and in until (the first part need not hold where the second
does). It is asked with windows in whole seconds on rows one second apart. Margins must agree to the last bit,
since both sides only add, subtract and choose, and so must the verdicts.
"""

import warnings

import numpy as np
import pytest

import twintrack as tt

with warnings.catch_warnings():  # its parser's runtime imports in an old-fashioned way
    warnings.simplefilter("ignore", DeprecationWarning)
    import rtamt

UNARY = ("not", "always", "eventually", "historically", "once")
BINARY = ("and", "or", "implies", "until", "since")
UNITS = {"x": "", "y": ""}


def window(rng):
    """Bounds in seconds, or none."""
    if rng.random() < 0.25:
        return None
    start = int(rng.integers(0, 6))
    return start, start + int(rng.integers(0, 12))


def atom(rng):
    """A comparison in our text and in the library's."""
    relation = rng.choice(["<", "<=", ">", ">="])
    limit = round(float(rng.normal()), 2)
    left, theirs = [
        ("x", "x"),
        ("y", "y"),
        ("x - y", "(x - y)"),
        ("x + y", "(x + y)"),
        ("2 * x", "(2 * x)"),
        ("abs(x - y)", "abs(x - y)"),
    ][rng.integers(6)]
    shown = f"- {-limit}" if limit < 0 else f"{limit}"
    return f"{left} {relation} {shown}", f"({theirs} {relation} {limit})"


def draw(rng, depth):
    """A random formula in both languages."""
    if depth == 0 or rng.random() < 0.1:
        return atom(rng)
    word = str(rng.choice(UNARY + BINARY))
    timed = word not in ("not", "and", "or", "implies")
    bounds = window(rng) if timed else None
    ours = f"[{bounds[0]} s, {bounds[1]} s]" if bounds else ""
    theirs = f"[{bounds[0]}:{bounds[1]}]" if bounds else ""
    first = draw(rng, depth - 1)
    if word in UNARY:
        return f"{word}{ours} ({first[0]})", f"({word}{theirs} ({first[1]}))"
    second = draw(rng, depth - 1)
    return f"({first[0]}) {word}{ours} ({second[0]})", f"(({first[1]}) {word}{theirs} ({second[1]}))"


def by_library(text, time, x, y):
    spec = rtamt.StlDiscreteTimeSpecification()
    spec.declare_var("x", "float")
    spec.declare_var("y", "float")
    spec.spec = text
    spec.parse()
    answer = spec.evaluate({"time": time.tolist(), "x": x.tolist(), "y": y.tolist()})
    return np.array([margin for _, margin in answer])


@pytest.mark.parametrize("block", range(10))
def test_a_thousand_random_formulas(block):
    rng = np.random.default_rng(block)
    decided = 0
    for _ in range(100):
        n = int(rng.integers(30, 60))
        time = np.arange(n, dtype=float)
        x, y = np.cumsum(rng.normal(size=(2, n)), axis=1) / 2
        ours, theirs = draw(rng, int(rng.integers(1, 4)))
        holds, margin = tt.answer(tt.formula(ours, UNITS), tt.record_of(time, {"x": x, "y": y}))
        expected = by_library(theirs, time, x, y)
        np.testing.assert_array_equal(margin, expected, err_msg=ours)
        clear = expected != 0
        np.testing.assert_array_equal(holds[clear], expected[clear] > 0, err_msg=ours)
        decided += bool(np.isfinite(expected[0]))
    assert decided > 50, "most formulas must have been put to the test"


@pytest.mark.parametrize(("level", "length"), [(0.101, 21), (0.101, 20), (0.099, 60), (0.101, 19)])
def test_persists_is_since(level, length):
    """persists(φ, 20 ms) on rows of 1 ms is φ since[21 rows, …] φ of the library."""
    time = np.arange(120, dtype=float)
    x = np.where((time >= 50) & (time <= 50 + length), level, 0.0)
    theirs = by_library("(x > 0.1) since[21:120] (x > 0.1)", time, x, x)
    holds, margin = tt.answer(
        tt.formula("persists(x > 0.1, 20 ms)", UNITS), tt.record_of(time / 1000, {"x": x})
    )
    np.testing.assert_array_equal(margin, theirs)
    np.testing.assert_array_equal(holds, theirs > 0)
    assert holds.any() == (level > 0.1 and length > 20)
