# SPDX-License-Identifier: BSD-3-Clause
"""The lab page's scattered benches and its block picture, in Chromium."""

import lab_browser
import numpy as np

from twintrack import _core
from twintrack.lab import contents
from twintrack.tolerances.address import value_at
from twintrack.tolerances.apply import combined

pytestmark = lab_browser.needed

chromium, lab, path = lab_browser.chromium, lab_browser.lab, lab_browser.path


def scattered(rows, k):
    """The page's bench with draw ``k``, by the package's own rule."""
    own = lab_browser.bench().to_dict()
    here = [row for row in rows if "tracks[3]" not in row["parameter"]]
    return lab_browser.bench(record_period=0.02).replace(
        {
            row["parameter"]: combined(value_at(own, row["parameter"]), row["way"], row["values"][k])
            for row in here
        }
    )


def test_scattered_benches_are_those_of_the_native_lanes(lab):
    lab.select_option("#other-fault", label="pedal.track2: offset")
    lab.fill("#other-amount", "0.02")
    lab.click("#add-fault")
    lab.click("#stroke")
    lab.click("#finish")
    lab_browser.until(lab, "lab.frame.ended && lab.frame.run === lab.number")
    rows, stroke = lab.evaluate(
        "(({ time, 'pedal.travel': travel }) => [lab.contents.scatter, strokeMade(time, travel)])"
        "(lab.charts.columns.all())"
    )
    lab.click("#scatter")
    lab_browser.until(lab, "lab.charts.faint || !document.querySelector('#trouble').hidden")
    some = [0, 7, 199]
    shown = lab.evaluate("some => some.map((k) => [...lab.charts.faint.openings[k]])", some)
    assert "200 benches within the usual tolerances" in lab.inner_text("#said")
    fault = _core.Fault(where="pedal.track2", what="offset", amount=0.02)
    cases = [
        _core.Case(
            parameters=scattered(rows, k), stroke=_core.Stroke(**stroke), learn="fresh", faults=[fault]
        )
        for k in some
    ]
    learned = _core.run_learn(
        _core.Case(parameters=lab_browser.bench(), stroke=_core.Stroke(**stroke), learn="fresh")
    ).result
    native = _core.run_lanes(cases, [learned] * len(some), trace=True, signals=["blade.opening"])
    for one, opening in zip(native, shown, strict=True):
        assert one.outcome.status == "completed"
        assert opening == one.record["blade.opening"].tolist()
    assert max(abs(a - b) for a, b in zip(*shown[:2], strict=True)) > 1e-3, "they do differ"


#: The page's draws made to change nothing; then the scattered benches are the one that was driven.
NEUTRAL = """lab.contents.scatter = lab.contents.scatter.filter((row) => row.way !== "value").map(
  (row) => ({ ...row, values: [row.way === "factor" ? 1 : 0] }))"""


def test_a_run_by_hand_is_done_again_foot_and_faults_at_their_times(lab):
    """One bench that does not differ, in the lanes: the blade that the exact solver showed on the page."""
    lab.evaluate(NEUTRAL)
    lab.select_option("#speed", "4")
    lab.focus("#pedal")
    for _ in range(6):
        lab.keyboard.press("PageUp")
    lab_browser.until(lab, "lab.charts.columns.last('blade.opening') > 0.3")
    lab.select_option("#other-fault", label="throttle.track1: offset")
    lab.fill("#other-amount", "0.04")
    lab.click("#add-fault")
    lab_browser.until(lab, "lab.frame.state.faults.length === 1")
    lab.wait_for_timeout(300)
    lab.locator("#faults button").first.click()
    lab.focus("#slider-return_spring")
    lab.keyboard.press("PageUp")
    lab.wait_for_timeout(300)
    lab.keyboard.press("PageUp")
    lab.wait_for_timeout(300)
    lab.focus("#pedal")
    lab.keyboard.press("Home")
    lab_browser.until(lab, "lab.charts.columns.last('pedal.travel') < 0.01")
    lab.click("#pause")
    lab.wait_for_timeout(200)
    acts = {action["act"] for action in lab.evaluate("lab.worker.ask('log')")}
    assert acts >= {"inject", "remove", "shift"}
    lab.click("#scatter")
    lab_browser.until(lab, "lab.charts.faint || !document.querySelector('#trouble').hidden")
    time, opening = lab.evaluate("[[...lab.charts.faint.time], [...lab.charts.faint.openings[0]]]")
    columns = lab_browser.downloaded(lab)
    seen = np.interp(time, columns["time"], columns["blade.opening"])
    off = np.abs(seen - np.array(opening))
    # The foot's movement is kept every 20 ms: while the blade runs it is a little off.
    assert len(time) > 50
    assert np.median(off) < 1e-3
    assert np.mean(off < 0.01) > 0.95


def test_what_is_not_scattered_is_said(chromium, path, tmp_path):
    page = tmp_path / "no_simd.html"
    text = path.read_text(encoding="utf-8")
    assert text.count("WebAssembly.validate(bytes)") == 1
    page.write_text(text.replace("WebAssembly.validate(bytes)", "false"), encoding="utf-8")
    shown = lab_browser.opened(chromium, page)

    def refused():
        shown.evaluate("lab.trouble('')")
        shown.click("#scatter")
        lab_browser.until(shown, "!document.querySelector('#trouble').hidden")
        return shown.inner_text("#trouble")

    def begun(button):
        before = shown.evaluate("lab.number")
        shown.click(button)
        lab_browser.until(
            shown, f"lab.number > {before} && lab.frame.run === lab.number && lab.frame.tick > 100"
        )

    begun("#key-on")
    assert "no SIMD" in refused()
    begun("#key-on")
    shown.focus("#brake")
    shown.keyboard.press("End")
    assert "released brake only" in refused()
    begun("#learn")
    assert "A range learn is not scattered" in refused()
    assert shown.failures == []
    shown.context.close()


def test_the_block_picture_has_the_values_of_now(lab):
    lab.select_option("#body-part", "three-track-split")
    lab.click("#stroke")
    lab.click("#finish")
    lab_browser.until(lab, "lab.frame.ended && lab.frame.run === lab.number && lab.picture.shown > 0")
    lab.wait_for_timeout(200)
    picture = lab.locator("#picture")
    assert picture.locator("svg > title").text_content() == f"{contents.FIRST[0]} with three-track-split"

    def written(signal):
        return picture.locator(f'[data-signal="{signal}"]').text_content()

    last = {
        name: lab.evaluate(f"lab.charts.columns.last('{name}')") for name in ("supply", "throttle.track3")
    }
    assert written("supply") == f"{last['supply']:.2f} V"
    assert written("throttle.track3") == f"{last['throttle.track3']:.3f} V"
    assert written("reaction") == lab.evaluate("lab.frame.state.reaction")
    lab.click("#key-on")
    lab_browser.wire(lab, "motor +").click()
    lab_browser.until(
        lab, "document.querySelector('#picture [data-block=motor] rect').getAttribute('stroke') === '#8e0b26'"
    )
