# SPDX-License-Identifier: BSD-3-Clause
"""Tolerances times designs: each draw of the parameters meets every case of the design."""

import numpy as np
import pytest

import twintrack as tt

PAIR = 'pedals = ["half-slope-high"]\nbodies = ["half-slope-six"]\n'
DRIVE = (
    'stroke = { time = ["0 s", "1 s", "1.5 s", "3 s", "3.2 s", "5 s"], '
    "travel = [0.0, 0.0, 0.4, 0.4, 0.0, 0.0] }\n"
)


@pytest.fixture(scope="module")
def audited(tmp_path_factory):
    """One draw of an audit, whose pedal reads some 10 % more than its part file says, after the learn."""
    drawn = '{ uniform = [1.09, 1.1], as = "factor", after_learn = true }'
    text = (
        f'design = "audit"\n{PAIR}{DRIVE}[audit]\nsetups = ["default", "none"]\ninstants = ["part load"]\n'
        f'[tolerances]\n"pedal.tracks[1].ratio" = {drawn}\n"pedal.tracks[2].ratio" = {drawn}\n'
    )
    folder = tmp_path_factory.mktemp("audited")
    (folder / "study.toml").write_text(text)
    study = tt.Study.load(folder / "study.toml")
    return study.run(folder / "out", cases=len(study.plan.specs), progress=False)


def test_an_audit_compares_with_the_healthy_blade_of_the_same_draw(audited):
    """Both tracks read too much: the blade opens some 4 % more than the foot asks, which is not the
    fault's doing."""
    table = audited.to_pandas()
    well = table[(table["fault"] == "") & (table["setup"] == "none")]
    (healthy,) = well.index
    assert well["unasked_opening"].item() < 1e-9
    number = int(table.index[(table["unasked_opening"] > 0.05) & (table["setup"] == "none")][0])
    runs = audited.runs([number, int(healthy)], ["asked", "blade.opening"])
    faulty, reference = runs[number].record, runs[healthy].record["blade.opening"]
    assert (reference - faulty["asked"]).max() > 0.02
    beyond = (faulty["blade.opening"] - np.maximum(faulty["asked"], reference))[
        faulty.time >= table.loc[number, "start_s"]
    ]
    assert table.loc[number, "unasked_opening"] == pytest.approx(max(beyond.max(), 0.0), abs=1e-12)


def test_idle_maps_scatter(tmp_path):
    """One cell of the map under several temperatures of the coolant: a cold engine idles faster (design)."""
    text = (
        f'design = "idle maps"\nscenario = "idle"\n{PAIR}[idle]\nsteps = 3\nseverities = 2\n'
        '[tolerances]\n"engine.coolant" = { values = ["20 degC", "90 degC"] }\n'
    )
    (tmp_path / "study.toml").write_text(text)
    study = tt.Study.load(tmp_path / "study.toml")
    size = len(study.plan.specs)
    table = study.run(tmp_path / "out", cases=2 * size, progress=False).to_pandas()
    middle = table[(table["assembly"] == "throttle") & (table["track1"] == 0.0) & (table["track2"] == 0.0)]
    speeds = middle.groupby("engine.coolant")["idle_rpm"].mean()
    assert len(speeds) == 2
    assert speeds.iloc[0] > speeds.iloc[1] + 100.0
