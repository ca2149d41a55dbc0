# SPDX-License-Identifier: BSD-3-Clause
"""A small study that has all four groups of cases."""

import pytest

import twintrack as tt


@pytest.fixture(scope="session")
def names():
    """Two pedals and two throttle bodies, by name."""
    return list(tt.pedals())[:2], list(tt.bodies())[:2]


@pytest.fixture(scope="session")
def study_text(names):
    pedals, bodies = names
    return f"""title = "small"
pedals = ["{pedals[0]}", "{pedals[1]}"]
bodies = ["{bodies[0]}", "{bodies[1]}"]
learn = ["none", "fresh", "stale"]
stroke = {{ time = ["0 s", "1.5 s", "2.5 s", "4 s"], travel = [0.0, 0.0, 0.5, 0.5] }}

[bench]
supply = "13.0 V"
seed = 7
"""


@pytest.fixture
def study_file(tmp_path, study_text):
    path = tmp_path / "study.toml"
    path.write_text(study_text)
    return path
