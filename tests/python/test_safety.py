# SPDX-License-Identifier: BSD-3-Clause
"""Safety metrics: a worked example with round numbers, a real audit, and what is refused."""

import math
from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.interval import wilson
from twintrack.safety import rates, report
from twintrack.safety.metrics import metrics
from twintrack.safety.rates import FIT, Element

EXAMPLE = Path(__file__).parents[2] / "examples/safety/rates.toml"


def cases(element, what, rows):
    """Rows (hazardous, in time, seen, times [ms]) of faults at one place."""
    made = []
    for number, (hazardous, in_time, seen, *times) in enumerate(rows):
        fdti, frti = [t / 1000 for t in times] or [math.nan, math.nan]
        grade = "in time" if in_time else "hazard" if hazardous else "not needed"
        row = {"fault": f"{element} {what} {number}", "grade": grade, "hazardous": hazardous}
        row |= {"detected_by": "a check" if seen else "", "place": (element, what)}
        made.append(row | {"fdti_s": fdti, "frti_s": frti, "fhti_s": fdti + frti})
    return made


def worked():
    """By hand. A, 100 FIT: 5 of 10 cases are hazardous (50 FIT), 3 of these in time: residual 20 FIT; of
    the other 5 (50 FIT) one is seen: latent 40 FIT. B, 300 FIT in two kinds: one hazardous and always in
    time, one harmless and always seen: 0 and 0. C, 100 FIT, 20 % safe: the other 80 FIT are hazardous and
    never detected: single-point faults. Σ λ = 500 FIT, Σ residual = 100 FIT, Σ latent = 40 FIT:

        SPFM = 1 − 100/500 = 80 %,  LFM = 1 − 40/(500 − 100) = 90 %
    """
    table = pd.DataFrame(
        cases("A", "offset", [(True, True, True, 100, 50)] * 3 + [(True, False, False)] * 2
              + [(False, False, True)] + [(False, False, False)] * 4)
        + cases("B", "open", [(True, True, True, 200, 250)] * 5)
        + cases("B", "short", [(False, False, True)] * 5)
        + cases("C", "broken", [(True, False, False)] * 2)
        + cases("D", "other", [(False, False, False)])
    )  # fmt: skip
    elements = [
        Element("A", ("A",), 100 * FIT, "worked"),
        Element("B", ("B",), 300 * FIT, "worked", modes=(("open", 0.5), ("short", 0.5))),
        Element("C", ("C",), 100 * FIT, "worked", safe=0.2),
    ]
    return metrics(table, dict(zip(table["fault"], table["place"], strict=True)), elements, "usual", 0.5)


def test_the_worked_example():
    found = worked()
    assert found.rate == pytest.approx(500 * FIT)
    assert [one.residual[0] / FIT for one in found.elements] == pytest.approx([20.0, 0.0, 80.0])
    assert [one.latent[0] / FIT for one in found.elements] == pytest.approx([40.0, 0.0, 0.0])
    assert found.spfm[0] == pytest.approx(0.80)
    assert found.lfm[0] == pytest.approx(0.90)
    assert [one.coverage[0] for one in found.elements] == pytest.approx([0.6, 1.0, 0.0])
    assert [one.single_point for one in found.elements] == [False, False, True]
    assert found.elements[1].times == pytest.approx((0.2, 0.25, 0.45))
    assert found.longest == pytest.approx(0.45)
    assert found.uncounted == ("D other 0",)


def test_its_intervals():
    """Coverage of one kind: Wilson's interval of 3 of 5; the metric's bounds hold the estimate."""
    found = worked()
    low, high = wilson(3, 5)
    assert found.elements[0].coverage == pytest.approx((0.6, low, high))
    for middle, least, most in (found.spfm, found.lfm):
        assert 0.0 <= least < middle <= most <= 1.0
    residual = 50 * (1 - low) + 150 * (1 - wilson(5, 5)[0]) + 80
    assert found.spfm[1] == pytest.approx(1 - residual / 500)


def test_what_it_says():
    text = report.headline(worked())
    assert "single-point fault metric 80 %" in text
    assert "latent fault metric 90 %" in text
    assert "takes 450 ms, within the fault-tolerant time of 500 ms" in text
    assert "1 faults of the audit belong to no element" in text
    rows = [report.row(one, 0.4) for one in worked().elements]
    assert [row[-1] for row in rows] == ["yes", "NO", "–"]
    assert rows[2][8] == "80 (single-point)"


@pytest.fixture(scope="module")
def audit(tmp_path_factory):
    study = tt.Study.make(
        design="audit",
        pedals=["half-slope-low"],
        bodies=["opposed-six"],
        bench={"wiring": {"kind": "ideal"}},
        audit={"setups": ["default"], "instants": ["part load"]},
        rule_sets=["fault-tolerant time"],
        stroke={
            "time": ["0 s", "0.4 s", "0.6 s", "1.2 s", "1.3 s", "2.4 s"],
            "travel": [0, 0, 0.4, 0.4, 0, 0],
        },
    )
    return study.run(tmp_path_factory.mktemp("safety") / "audit", progress=False)


def test_an_audit_and_the_example(audit):
    told = CliRunner().invoke(main, ["safety", str(audit.folder), str(EXAMPLE)])
    assert told.exit_code == 0, told.output
    assert "no claim of conformity" in told.output
    assert "no proof of safety" in told.output
    found = report.numbers(audit, rates.read(EXAMPLE))
    assert report.headline(found) in told.output
    assert found.rate == pytest.approx(260 * FIT)
    assert 0.0 < found.spfm[1] < found.spfm[0] <= 1.0
    assert 0.0 < found.lfm[0] < 1.0
    table = audit.table[audit.table["setup"] == "default"]
    pedal = table[table["fault"].str.startswith("pedal track")]
    assert found.elements[0].total("cases") == len(pedal)
    assert found.elements[0].total("hazardous") == int(pedal["hazardous"].sum())
    page = (audit.folder / "safety.html").read_text()
    assert "no claim of conformity" in page
    assert "invented for this example" in page


TEXT = """[[elements]]
name = "tracks"
places = ["pedal.track1"]
rate = "50 FIT"
source = "invented"
"""
WRONG = [
    ("", "there are no rates: give"),
    ('setup = "default"', "there are no rates: give"),
    (TEXT.replace('"50 FIT"', "50"), "needs its unit, such as '50 FIT'"),
    (TEXT.replace("50 FIT", "50"), "the unit is missing"),
    (TEXT.replace("50 FIT", "50 V"), "does not convert to 1/h"),
    (TEXT.replace("50 FIT", "-1 FIT"), "cannot be negative"),
    (TEXT.replace('source = "invented"\n', ""), "the element has no 'source'"),
    (TEXT.replace('source = "invented"', 'source = ""'), "must be text, not empty"),
    (TEXT.replace('["pedal.track1"]', "[]"), "must be a list of texts, not empty"),
    (TEXT + 'modes = { offset = "50 %" }\n', "sum to 100 %; got 0.5"),
    (TEXT + 'safe = "100 %"\n', "from 0 to below 100 %"),
    (TEXT + TEXT, "another element has this name"),
    (TEXT + TEXT.replace('"tracks"', '"others"'), "pedal.track1 belongs to 'tracks' already"),
    (TEXT + "lambda = 3\n", "unknown key"),
    ('fault_tolerant_time = "-1 s"\n' + TEXT, "must be above 0 s"),
]


@pytest.mark.parametrize(("text", "message"), WRONG, ids=lambda c: c[:30])
def test_bad_rates(text, message, tmp_path):
    (tmp_path / "rates.toml").write_text(text)
    with pytest.raises(InputError, match=message):
        rates.read(tmp_path / "rates.toml")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (TEXT.replace("pedal.track1", "pedal.track9"), "the audit has no fault at 'pedal.track9'"),
        (TEXT + 'modes = { melted = "100 %" }\n', "the audit has no fault 'melted' there"),
        (TEXT.replace("50 FIT", "0 FIT"), "all rates are 0"),
        ('setup = "strict"\n' + TEXT, "there is no set-up 'strict' in this audit"),
    ],
)
def test_rates_that_do_not_fit_the_audit(audit, text, message, tmp_path):
    (tmp_path / "rates.toml").write_text(text)
    with pytest.raises(InputError, match=message):
        report.numbers(audit, rates.read(tmp_path / "rates.toml"))


def test_another_design_has_no_detections(tmp_path):
    study = tt.Study.make(pedals=["half-slope-low"], bodies=["opposed-six"], learn=["none"],
                          stroke={"time": ["0 s", "0.2 s"], "travel": [0.0, 0.0]})  # fmt: skip
    result = study.run(tmp_path / "out", progress=False)
    with pytest.raises(InputError, match="these numbers need an audit"):
        report.numbers(result, rates.read(EXAMPLE))


def test_a_rate_in_other_units():
    assert rates.rate_of("50 FIT") == pytest.approx(5e-8)
    assert rates.rate_of("5e-8 1/h") == pytest.approx(rates.rate_of("50 FIT"))
