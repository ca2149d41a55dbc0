# SPDX-License-Identifier: BSD-3-Clause
"""Lanes and exact solver agree: on verdicts, and on the mean tracking error of an ensemble.

Ten thousand cases of the same kind: ``python tests/speed/lane_agreement.py``.
"""

import agreement
import numpy as np
import pytest

import twintrack as tt
from twintrack import _core


def test_verdicts_of_two_hundred_mixed_cases():
    many = agreement.mixed(200)
    assert len({m.case.parameters.body.name for m in many}) == len(tt.bodies())
    seen = set()
    for m, ours in zip(many, agreement.in_lanes(many), strict=True):
        theirs = agreement.exact(m.case, m.learned)
        seen.add(theirs[0])
        if ours != theirs:
            assert agreement.explained(m, ours, theirs), (m.label, agreement.told(ours, theirs))
    assert seen == {"none", "right", "wrong", "uncommanded"}


def test_a_difference_that_no_neighbour_shows_is_not_explained():
    m = agreement.mixed(1)[0]
    theirs = agreement.exact(m.case, m.learned)
    assert not agreement.explained(m, ("another answer", *theirs[1:]), theirs)


@pytest.mark.parametrize(("torque", "confirmed"), [(-0.1, 1.37), (-0.4, 1.162)])
def test_a_lane_woken_late_knows_how_fast_the_blade_moves(torque, confirmed):
    """Something pulls the light blade of Set B shut against its drive; the monitor's filtered speed tells."""
    nominal = _core.BenchParameters(
        pedal=tt.pedals()["knee"], body=tt.bodies()["set-b"], wiring={"kind": "ideal"}
    )
    stroke = tt.Stroke(time=[0, 0.3, 0.4, 3], travel=[0.1, 0.1, 0.7, 0.7])
    learned = _core.run_learn(_core.Case(parameters=nominal, stroke=stroke)).result
    own = {f"{side}.tracks[{k}].noise": 0.0 for side in ("pedal", "body") for k in (1, 2)}
    pull = _core.Fault(where="blade", what="torque", amount=torque, start=1.031, ramp=0.3)
    case = _core.Case(parameters=nominal.replace(own), stroke=stroke, faults=[pull])
    [ours] = _core.run_lanes([case], [learned])
    theirs = _core.run_case(case, learned=learned)
    assert [code.text for code in theirs.codes] == ["P2101-64"]
    assert [code.text for code in ours.codes] == ["P2101-64"]
    assert ours.codes[0].confirmed == theirs.codes[0].confirmed == confirmed


@pytest.mark.parametrize("resting", [False, True])
def test_mean_tracking_error_of_an_ensemble(resting):
    """The integral of the absolute error, over healthy loops with friction and noise of their own.

    Friction leaves the blade anywhere within the rest band, and a last bit decides where, in the exact solver
    itself as well (at a hundredth of its tolerance its mean moves by 0.15 %). With the band three standard
    errors of the difference are allowed, without it a thousandth.
    """
    drive = tt.Stroke(
        time=[0, 0.3, 0.4, 1.0, 1.1, 1.8, 2.2, 3.0], travel=[0.1, 0.1, 0.6, 0.6, 0.2, 0.2, 0.9, 0.9]
    )
    base = _core.BenchParameters(
        pedal=tt.pedals()["half-slope-low"], body=tt.bodies()["half-slope-six"], wiring={"kind": "ideal"}
    )
    learned = _core.run_learn(_core.Case(parameters=base, stroke=drive)).result
    friction = base.body.mechanics.friction
    everywhere = {} if resting else {"controller.rest_band": 0.0}
    cases = []
    for k, wear in enumerate(np.random.default_rng(3).uniform(0.8, 1.2, 300)):
        own = everywhere | {
            "case_number": k,
            "body.mechanics.friction.coulomb": wear * friction.coulomb,
            "body.mechanics.friction.breakaway": wear * friction.breakaway,
        }
        cases.append(_core.Case(parameters=base.replace(own), stroke=drive))
    lanes = _core.lane_figures(cases, [learned] * len(cases))["mean_error"]

    def exact(case):
        record = _core.run_case(case, learned=learned, trace=True).record
        driven = record.time >= base.controller.self_check_time
        away = np.abs(record["set_point"] - record["blade.opening"])
        return away[driven].sum() / len(away)

    errors = np.array([exact(case) for case in cases])
    allowed = 1e-3 * errors.mean()
    if resting:
        allowed = 3.0 * np.std(lanes - errors) / np.sqrt(len(cases))
        assert allowed < 0.015 * errors.mean()
    assert lanes.mean() == pytest.approx(errors.mean(), abs=allowed)
    assert lanes.std() > 0.0
