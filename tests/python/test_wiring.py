# SPDX-License-Identifier: BSD-3-Clause
"""Wiring as Python sees it: faults, pin-outs, table, diagram, studies of every single fault.

Which fault does what is common practice, no source, unless a test says otherwise.
"""

import math
import warnings

import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.designs.pairing import wiring
from twintrack.errors import InputError
from twintrack.experiments import report
from twintrack.studies import reader

PEDAL, BODY = "half-slope-low", "opposed-six"
HALF = tt.Stroke(time=[0, 0.3, 0.8, 2.5], travel=[0, 0, 0.5, 0.5])


@pytest.fixture(scope="module")
def bench():
    bench = tt.Bench(pedal=PEDAL, body=BODY)
    assert bench.learn().accepted
    return bench


def run(bench, *faults):
    return bench.run(HALF, faults=faults)


def test_the_harness_is_the_default(bench):
    assert bench.parameters.wiring.kind == "harness"
    assert "harness" in repr(bench.wiring)


def test_an_open_signal_is_read_as_out_of_range(bench):
    result = run(bench, tt.Fault(where="throttle signal 1", what="open", start=1.5))
    assert result.codes[0].code == "P0122"
    assert result.record["throttle.track1"][-1] < 0.02
    assert result.codes[0].confirmed == pytest.approx(1.6, abs=0.01)


@pytest.mark.parametrize(
    ("pedal", "body"), [(PEDAL, BODY), ("knee", "knee-eight"), ("three-track", "three-track-split")]
)
def test_every_open_signal_is_seen_at_its_own_track(pedal, body):
    bench = tt.Bench(pedal=pedal, body=body)
    assert bench.learn().accepted
    low = {"pedal": ("P2122", "P2127", "P2132"), "throttle": ("P0122", "P0222", "P0227")}  # SAE J2012
    for _, terminal in tt.pair_terminals(bench.parameters.pedal, bench.parameters.body):
        if " signal " in terminal:
            assembly, track = terminal.split(" signal ")
            codes = run(bench, tt.Fault(where=terminal, what="open", start=1.5)).codes
            assert low[assembly][int(track) - 1] in [code.code for code in codes], terminal


def test_who_drives_whom_does_not_depend_on_the_harness(tmp_path, study_text):
    """Copper and pull resistors cost half a per cent of a reading, which the learn takes up."""
    tables = []
    for kind in ("harness", "ideal"):
        path = tmp_path / f"{kind}.toml"
        path.write_text(study_text + f'[bench.wiring]\nkind = "{kind}"\n')
        tables.append(tt.Study.load(path).run(tmp_path / kind, progress=False).table)
    assert list(tables[0]["response"]) == list(tables[1]["response"])
    assert list(tables[0]["codes"]) == list(tables[1]["codes"])


def test_a_fault_that_comes_and_goes(bench):
    fault = tt.Fault(where="pedal signal 1", what="open", start=1.0, every=1e-3, lasting=1e-4)
    assert (fault.every, fault.lasting) == (1e-3, 1e-4)
    assert fault.text == "'pedal signal 1' open for 100 us of each 1000 us"
    a, b = run(bench, fault), run(bench, fault)
    assert (a.record["blade.angle"] == b.record["blade.angle"]).all()
    assert a.record["demand"][1100:].mean() < run(bench).record["demand"][1100:].mean() - 0.02


def test_the_learn_refuses_exchanged_motor_leads():
    bench = tt.Bench(pedal=PEDAL, body=BODY)
    result = bench.learn(faults=[tt.Fault(where="motor +", what="exchange", other="motor -")])
    assert not result.accepted
    assert "motor leads exchanged" in result.reason
    assert bench.learned is None


def test_a_reference_5_per_cent_off_is_forgiven(bench):
    result = run(bench, tt.Fault(where="reference", what="scale", amount=1.05, start=1.5))
    assert not result.codes
    opening = result.record["blade.opening"]
    assert opening[-1] == pytest.approx(opening[1499], abs=0.005)


def test_every_single_fault_is_generated_from_the_terminals(bench):
    faults = bench.wiring.faults(start=1.0)
    texts = [fault.text for fault in faults]
    assert len(set(texts)) == len(texts)
    assert {fault.start for fault in faults} == {1.0}
    for _, terminal in tt.pair_terminals(tt.pedal(PEDAL), tt.body(BODY)):
        kinds = {f.what for f in faults if f.where == terminal}
        assert {"open", "series", "leak", "short_to_ground", "short_to_battery"} <= kinds


def test_refusals(bench):
    with pytest.raises(
        tt.InvalidParameter, match="there is no 'pedal signal 7'; there are: pedal reference 1"
    ):
        run(bench, tt.Fault(where="pedal signal 7", what="open"))
    with pytest.raises(tt.InvalidParameter, match="short_to needs a second terminal"):
        tt.Fault(where="pedal signal 1", what="short_to", amount=1.0)
    with pytest.raises(tt.InvalidParameter, match="amount"):
        tt.Fault(where="pedal signal 1", what="leak", amount=-1.0)
    with pytest.raises(tt.InvalidParameter, match="pin_out"):
        tt.Bench(pedal=PEDAL, body=BODY, wiring={"pin_out": [{"terminal": "x", "pin": "motor +"}]})


def test_table(bench):
    table = bench.wiring.table()
    assert list(table.index[-2:]) == ["controller supply", "controller ground"]
    assert table.loc["motor +", "pin"] == "motor +"
    wire = bench.parameters.wiring.harness.motor_wire
    # 12.7 mΩ/m: the largest value ISO 6722-1 allows for 1.5 mm², from memory
    expected = wire.length * 0.0127 + wire.contacts * wire.contact_resistance
    assert table.loc["motor +", "resistance_ohm"] == pytest.approx(expected, rel=1e-9)
    assert "motor +" in str(bench.wiring)


def test_a_pin_out_of_ones_own_is_remarked_on():
    joints = [j.to_dict() for j in tt.correct_pin_out(tt.pedal(PEDAL), tt.body(BODY))]
    joints = [j for j in joints if j["terminal"] != "pedal signal 2"]
    with pytest.warns(UserWarning, match="'pedal signal 2' is not connected"):
        bench = tt.Bench(pedal=PEDAL, body=BODY, wiring={"pin_out": joints})
    assert bench.wiring.table().loc["pedal signal 2", "pin"] == ""
    assert "remark: 'pedal signal 2' is not connected" in str(bench.wiring)
    assert bench.run(HALF).record["pedal.track2"].max() < 0.02
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        tt.Bench(pedal=PEDAL, body=BODY)


def test_diagram_of_every_kind_of_fault(bench):
    import matplotlib.pyplot as plt

    drawn = set()
    healthy = bench.wiring.plot()
    artists = len(healthy.axes[0].lines) + len(healthy.axes[0].texts)
    more = [
        tt.Fault(where="pedal main", what="unplugged"),
        tt.Fault(where="pedal regulator", what="regulator_voltage", amount=3.3),
    ]
    for fault in [*bench.wiring.faults(), *more]:
        if fault.what in drawn:
            continue
        drawn.add(fault.what)
        figure = bench.wiring.plot(fault)
        axes = figure.axes[0]
        assert fault.text in axes.get_title(loc="left")
        assert len(axes.lines) + len(axes.texts) > artists
        plt.close(figure)
    assert drawn == {kind.what for kind in tt.wiring_fault_kinds()}


def test_command_lists_the_faults_of_a_part_and_of_a_pair():
    def lines(*names):
        answer = CliRunner().invoke(main, ["list", "faults", *names])
        assert answer.exit_code == 0, answer.output
        return answer.output.splitlines()

    pair = lines(PEDAL, BODY)
    assert pair[-1] == f"{len(tt.every_single_wiring_fault(tt.pedal(PEDAL), tt.body(BODY)))} faults"
    of_pedal, of_body = lines(PEDAL), lines(BODY)
    assert all(line.startswith("pedal ") for line in of_pedal[1:-2])
    assert all(line.startswith(("throttle ", "motor ")) for line in of_body[1:-2])
    assert len(of_pedal) + len(of_body) - 3 + 6 == len(pair), "the controller's own wires go with a pair"
    assert any("short_to" in line for line in lines())
    wrong = CliRunner().invoke(main, ["list", "faults", PEDAL, PEDAL])
    assert wrong.exit_code == 2
    assert "second pedal" in wrong.output


STUDY = f"""
pedals = ["{PEDAL}"]
bodies = ["{BODY}"]
faults = "every single wiring fault"
faults_from = "1.5 s"
stroke = {{ time = ["0 s", "0.3 s", "0.8 s", "2.5 s"], travel = [0.0, 0.0, 0.5, 0.5] }}
"""


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wiring")
    (folder / "wiring.toml").write_text(STUDY)
    study = tt.Study.load(folder / "wiring.toml", solver="exact")
    return study.run(folder / "out", jobs=2, progress=False)


def test_a_study_of_every_single_fault(finished):
    table = finished.table
    faults = tt.every_single_wiring_fault(tt.pedal(PEDAL), tt.body(BODY))
    assert list(table["fault"]) == ["", *(fault.text for fault in faults)]
    assert (table["status"] == "completed").all()
    assert table.loc[0, "response"] == "right"
    assert table.loc[0, "reads"] in ("", "as before")
    assert set(table["grade"]) <= set(wiring.GRADES)
    by_fault = table.set_index("fault")
    open_signal = by_fault.loc["'throttle signal 1' open"]
    assert open_signal["grade"] in ("in time", "late"), "the loop chases the lost blade until it is detected"
    assert open_signal["detected_by"].startswith("P0122")
    assert 1000 * open_signal["detected_after_s"] == pytest.approx(100, abs=10)
    assert "throttle 1: " in open_signal["reads"]
    assert "→ 0.00 V" in open_signal["reads"]
    assert math.isnan(by_fault.loc["'motor +' with 1000 ohm in series"]["unasked_time_s"]) is False
    page = report.write(finished).read_text()
    assert "<h2>Every single wiring fault" in page
    assert all(fault.text.replace("'", "&#39;") in page for fault in faults)


def test_rows_of_a_study_are_what_the_bench_says(finished):
    study, learned = finished.plan.study, finished.learned(0)
    pairings = study.pairings()
    for number in (0, 3, 40):
        result = tt.run_case(study.case(pairings[number], number), learned=learned)
        assert finished.table.loc[number, "sentence"] == result.sentence


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ('faults = "every"', "or the text 'every single wiring fault'"),
        ('faults_from = "-1 s"', "before the key is on"),
        ('learn = ["fresh", "sometimes"]', "no learn state"),
        ('bench = { wiring = { kind = "ideal" } }', "need the wiring 'harness'"),
        ('bench = { wiring = { pin_out = [{ terminal = "a", pin = "motor +" }] } }', "there is no 'a'"),
    ],
)
def test_errors_in_the_file(tmp_path, change, message):
    keys = {change.split(" =")[0]} | ({"faults_from"} if change.startswith("faults =") else set())
    lines = [line for line in STUDY.splitlines() if line.split(" =")[0] not in keys]
    (tmp_path / "s.toml").write_text("\n".join([*lines, change]))
    with pytest.raises(InputError, match=message):
        reader.load(tmp_path / "s.toml")


def test_a_place_that_a_pair_does_not_have(tmp_path):
    text = STUDY.replace('faults = "every single wiring fault"\nfaults_from = "1.5 s"\n', "")
    fault = '[[faults]]\nwhere = "pedal signal 5"\nwhat = "open"\nfrom = "1 s"\n'
    (tmp_path / "s.toml").write_text(text + fault)
    with pytest.raises(
        InputError, match=r"line \d+: faults\[1\]: half-slope-low with opposed-six: .*there is no"
    ):
        reader.load(tmp_path / "s.toml")
    good = fault.replace("5", "1") + 'every = "1 ms"\nlasting = "100 us"\n'
    (tmp_path / "s.toml").write_text(text + good)
    assert reader.load(tmp_path / "s.toml").faults[0].lasting == 1e-4
