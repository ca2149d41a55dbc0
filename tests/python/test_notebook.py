# SPDX-License-Identifier: BSD-3-Clause
"""What notebooks show: block picture, cards, curves that zoom, sliders."""

import html
import json
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET

import numpy as np
import pytest

import twintrack as tt
from twintrack.notebook.zoom import zoom_page

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FAULTS = [
    tt.Fault(where="pedal.track1", what="offset", amount=0.2, start=3.0),
    tt.Fault(where="throttle signal 2", what="open", start=4.5),
]


@pytest.fixture(scope="module")
def bench():
    made = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert made.learn().accepted
    return made


@pytest.fixture(scope="module")
def run(bench):
    return bench.run(faults=FAULTS)


def signals(svg):
    """Texts by signal, and all text of the drawing."""
    root = ET.fromstring(svg)
    found = {e.attrib["data-signal"]: e.text for e in root.iter() if "data-signal" in e.attrib}
    return found, " ".join("".join(root.itertext()).split())


def test_the_picture_shows_the_values_of_the_tick(bench, run):
    shown, text = signals(bench.diagram(run, at=2.5).svg)
    row = int(np.argmin(np.abs(run.record.time - 2.5)))
    for name, unit, scale in (
        ("pedal.travel", "%", 100.0),
        ("blade.opening", "%", 100.0),
        ("duty", "%", 100.0),
        ("pedal.track2", "V", 1.0),
        ("throttle.track1", "V", 1.0),
        ("motor.current", "A", 1.0),
    ):
        number, there = shown[name].split()
        assert there == unit
        digits = len(number.partition(".")[2])
        assert float(number) == pytest.approx(scale * run.record[name][row], abs=0.51 * 10**-digits)
    assert "pedal.track3" not in shown
    assert shown["reaction"] == "none"
    assert "P2138" not in text
    assert "offset of pedal.track1" not in text


def test_the_picture_marks_faults_and_codes_from_when_they_are_there(bench, run):
    _, text = signals(bench.diagram(run, at=4.0).svg)
    assert "P2138" in text
    assert "offset of pedal.track1" in text
    assert "throttle signal 2" not in text
    drawn = ET.fromstring(bench.diagram(run, at=5.0).svg)
    red = {
        group.attrib["data-block"]
        for group in drawn.iter()
        if "data-block" in group.attrib and any(e.attrib.get("stroke") == "#8e0b26" for e in group)
    }
    assert red == {"pedal", "throttle wiring"}


def test_every_fault_has_a_block(bench):
    from twintrack.notebook.diagram import _TITLES, block_of

    found = {
        kind.where: block_of(tt.Fault(where=kind.where, what=kind.what, amount=kind.least))
        for kind in tt.fault_catalogue()
    }
    assert set(found.values()) <= set(_TITLES)
    wiring = {block_of(fault) for fault in bench.wiring.faults()}
    assert {"pedal wiring", "throttle wiring", "motor", "controller"} == wiring


def test_the_picture_without_a_run_and_of_a_session_and_with_an_engine(bench):
    _, text = signals(bench.diagram().svg)
    assert "range learned yes" in re.sub(r"\s+", " ", text)
    session = bench.session()
    for _ in range(300):
        session.step(pedal=0.3)
    shown, text = signals(bench.diagram(session).svg)
    assert shown["pedal.travel"] == "30.0 %"
    assert "Engine" not in text
    driven = tt.Bench(pedal="half-slope-low", body="opposed-six", engine="small-four")
    shown, text = signals(driven.diagram(driven.run(tt.Stroke.rest(0.5))).svg)
    assert "engine.speed" in shown
    assert "engine speed" in text


def test_names_are_written_as_text(tmp_path):
    pedal = tt.pedal("half-slope-low").replace(name="<b>&")
    bench = tt.Bench(pedal=pedal, body="opposed-six")
    assert "<b>&" in signals(bench.diagram().svg)[1]
    path = bench.diagram().save(tmp_path / "a.svg")
    ET.parse(path)


def test_bad_input_of_the_picture_is_one_sentence(bench, run, tmp_path):
    with pytest.raises(tt.InputError, match=r"at: must lie between 0 s and 9\.5 s, the run; got 99"):
        bench.diagram(run, at=99.0)
    with pytest.raises(tt.InputError, match="got nan"):
        bench.diagram(run, at=float("nan"))
    with pytest.raises(tt.InputError, match="an instant needs a run"):
        bench.diagram(at=1.0)
    with pytest.raises(tt.InputError, match="a range learn has a plot of its own"):
        bench.diagram(bench.learn(), at=1.0)
    with pytest.raises(tt.InputError, match="nothing is recorded yet"):
        bench.diagram(bench.session())
    with pytest.raises(tt.InputError, match=r"ends in \.svg"):
        bench.diagram().save(tmp_path / "a.png")
    with pytest.raises(tt.InputError, match="cannot be written"):
        bench.diagram().save(tmp_path / "none" / "a.svg")


def test_cards_say_what_their_object_says(bench, run, tmp_path):
    assert "<svg" in bench._repr_html_()
    card = run._repr_html_()
    assert all(code.code in card for code in run.codes)
    assert "offset of pedal.track1" in card
    assert "No trouble code" in bench.run(tt.Stroke.rest(0.3))._repr_html_()
    assert f"{run.codes[0].confirmed:.3f}" in run.codes._repr_html_()
    assert run.codes[0].code in run.codes[0]._repr_html_()
    learned = bench.learned._repr_html_()
    assert bench.learned.checksum in learned
    assert f"{100 * bench.learned.pedal[0].start:.2f} %" in learned
    learn = bench.learn()
    assert "Learn accepted" in learn._repr_html_()
    assert learn.codes == []
    refused = bench.learn(tt.Stroke.rest(3.0))
    assert html.escape(refused.reason) in refused._repr_html_()
    study = tt.Study.make(title="<t>", pedals=["half-slope-low"], bodies=["opposed-six"], learn=["fresh"])
    assert "&lt;t&gt;" in study._repr_html_()
    assert "half-slope-low with opposed-six" in study._repr_html_()
    result = study.run(tmp_path / "r", progress=False)
    assert html.escape(result.headline) in result._repr_html_()


def test_a_plot_is_a_figure_and_a_notebook_zooms_it(run, tmp_path):
    figure = run.plot()
    figure.savefig(tmp_path / "a.png", dpi=40)
    assert (tmp_path / "a.png").stat().st_size > 1000
    page = html.unescape(re.search(r'srcdoc="([^"]*)"', figure._repr_html_())[1])
    charts = [json.loads(text) for text in re.findall(r'application/json">(.*?)</script>', page)]
    assert [chart["y_label"] for chart in charts] == [
        "opening [%]",
        "pedal [V]",
        "throttle [V]",
        "duty [%]",
        "current [A]",
    ]
    assert charts[0]["marks"][0][1] == "P2138"
    blade = charts[0]["curves"]["blade"]
    assert np.interp(2.5, charts[0]["x"], blade) == pytest.approx(
        100 * np.interp(2.5, run.record.time, run.record["blade.opening"]), abs=0.1
    )
    import matplotlib.pyplot as plt

    plt.close(figure)


ZOOM = """
const over = document.querySelectorAll(".u-over")[0], box = over.getBoundingClientRect();
const axis = () => [...document.querySelectorAll(".chart")].map((chart) => chart.zoomed());
const at = (type, x, target) => (target || over).dispatchEvent(new MouseEvent(type, {bubbles: true, button: 0,
  clientX: box.left + x * box.width, clientY: box.top + 30, movementX: 5, view: window}));
const before = axis();
at("mouseenter", 0.2);
at("mousemove", 0.2);
at("mousedown", 0.2);
at("mousemove", 0.4);
at("mouseup", 0.4, document);
setTimeout(() => {
  const overflow = document.documentElement.scrollWidth - innerWidth;
  const seen = {errors: window.failures, before, after: axis(), overflow};
  document.body.innerHTML = "<pre id=seen></pre>";
  document.getElementById("seen").textContent = JSON.stringify(seen);
}, 300);
"""


@pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")
def test_zooming_one_curve_zooms_all(run, tmp_path):
    page = zoom_page(run).page
    failures = "<script>window.failures = []; onerror = (text) => failures.push(text);</script>"
    page = page.replace("<body>", "<body>" + failures, 1)
    page = page.replace("</body>", f"<script>addEventListener('load', () => {{{ZOOM}}});</script></body>")
    path = tmp_path / "zoom.html"
    path.write_text(page, encoding="utf-8")
    command = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=6000"]
    command += ["--window-size=1000,1100", "--dump-dom", path.as_uri()]
    dom = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True).stdout
    seen = json.loads(html.unescape(re.search(r'<pre id="seen">(.*?)</pre>', dom, re.DOTALL)[1]))
    assert seen["errors"] == []
    assert seen["overflow"] <= 0
    assert seen["before"] == [[0, 9.5]] * 5
    low, high = seen["after"][0]
    assert low == pytest.approx(1.9, abs=0.1)
    assert high == pytest.approx(3.8, abs=0.1)
    assert all(one == pytest.approx(seen["after"][0], abs=0.02) for one in seen["after"])


def test_sliders_run_the_bench_again(bench):
    pytest.importorskip("ipywidgets")
    live = bench.live()
    assert "application/vnd.jupyter.widget-view+json" in live._repr_mimebundle_()
    assert live.run.record["pedal.travel"][-1] == pytest.approx(0.4)
    live.sliders["pedal"].value = 0.7
    assert live.run.record["pedal.travel"][-1] == pytest.approx(0.7)
    assert "70.0 %" in live._picture.value
    live.sliders["instant"].value = 0.5
    assert "Values at 0.500 s" in live._picture.value
    live.sliders["fault"].value = "throttle.track1: offset"
    assert [fault.what for fault in live.run.faults] == ["offset"]
    assert "P2135" in live._message.value
    live.sliders["fault"].value = "pedal.track1: frozen"
    assert live.sliders["amount"].disabled
    assert [fault.amount for fault in live.run.faults] == [0.0]
    live.sliders["fault"].value = "none"
    live.sliders["supply"].value = 10.0
    assert live.run.record["supply"][-1] == pytest.approx(10.0, abs=0.2)
    before = live.run.record["blade.opening"].copy()
    live.sliders["friction"].value = 3.0
    assert not np.array_equal(before, live.run.record["blade.opening"])


def test_settings_that_cannot_be_run_are_refused_with_a_sentence(bench):
    pytest.importorskip("ipywidgets")
    live = bench.live()
    live.sliders["derivative"].value = 0.0
    live.sliders["integral"].value = 3.0
    assert live.run is None
    assert "These settings cannot be run: " in live._message.value
    assert live._picture.value == ""
    live.sliders["instant"].value = 1.0
    live.sliders["integral"].value = 1.0
    live.sliders["derivative"].value = 1.0
    assert live.run is not None


def test_without_ipywidgets_the_message_names_the_extra(bench, monkeypatch):
    monkeypatch.setitem(sys.modules, "ipywidgets", None)
    with pytest.raises(tt.InputError, match=re.escape("pip install 'twintrack[notebook]'")):
        bench.live()
