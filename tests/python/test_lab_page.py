# SPDX-License-Identifier: BSD-3-Clause
"""The lab page in Chromium: every control, at 1,400 and 360 px; what it shows is what ``tt.run`` gives."""

import json
import subprocess
from pathlib import Path

import lab_browser
import pytest
from click.testing import CliRunner

from twintrack import _core
from twintrack.command.cli import main
from twintrack.lab import contents, page
from twintrack.parts import catalogue as parts
from twintrack.studies import reader

TOP = Path(__file__).parents[2]

pytestmark = lab_browser.needed

REST = {"time": [0.0, 1.0], "travel": [0.0, 0.0]}


chromium, lab, path = lab_browser.chromium, lab_browser.lab, lab_browser.path


def compare(columns, record):
    assert columns["time"] == record.time.tolist()
    assert all(columns[name] == record[name].tolist() for name in record.names)


def moved(lab, key, pressed="PageUp"):
    """The value of a slider after a key was pressed."""
    lab.focus(f"#slider-{key}")
    lab.keyboard.press(pressed)
    return lab.evaluate(f"lab.slider('{key}').value")


def test_every_setting_and_the_stroke_give_what_tt_run_gives(lab):
    gains = _core.loop_gains(_core.ControllerParameters(), parts.body(contents.FIRST[1]).mechanics)
    changes = {f"controller.{name}": gains[name] * moved(lab, name) for name in ("proportional", "integral")}
    changes["controller.derivative"] = gains["derivative"] * moved(lab, "derivative", "PageDown")
    changes["controller.set_point_time"] = moved(lab, "set_point_time")
    changes["controller.observer_pole"] = pole = moved(lab, "observer_pole")
    changes["controller.load_pole"] = min(pole, 100.0)
    changes["acquisition.filter_time"] = moved(lab, "filter_time")
    changes["controller.feed_forward"] = False
    lab.uncheck("#feed-forward")
    faults = [
        _core.Fault(where="body.friction", what="scale", amount=moved(lab, "friction")),
        _core.Fault(where="body.return_spring", what="scale", amount=moved(lab, "return_spring")),
        _core.Fault(where="body.opener_spring", what="scale", amount=moved(lab, "opener_spring", "PageDown")),
        _core.Fault(where="supply", what="scale", amount=moved(lab, "supply", "PageDown") / 13.5),
        _core.Fault(where="motor", what="heat", amount=moved(lab, "heat")),
    ]
    assert all(value not in (1.0, 0.0) for value in (fault.amount for fault in faults))
    learned = _core.learn(lab_browser.bench()).range
    lab.click("#stroke")
    lab.click("#finish")
    native = _core.run(
        lab_browser.bench(**changes),
        _core.Stroke.rest_half_full_rest(),
        learned=learned,
        faults=faults,
        brake=_core.Stroke(**REST),
    )
    compare(lab_browser.downloaded(lab), native.record)


def done_natively(log, ticks, pedal=0.0, goal=0.0):
    """The key-on of a log of the page, stepped by hand: each action at its tick."""
    learned = _core.learn(lab_browser.bench()).range
    session = _core.Session(
        lab_browser.bench(), _core.Stroke.rest(1.0), learned=learned, brake=_core.Stroke(**REST)
    )
    for tick in range(ticks):
        held = {}
        for action in (a for a in log if a["tick"] == tick):
            if action["act"] == "inject":
                session.inject(_core.Fault(**action["fault"]))
            elif action["act"] == "remove":
                session.remove(action["where"], action["what"])
            elif action["act"] == "pedal":
                goal = action["travel"]
            else:
                held["brake"] = action["braking"]
        pedal = goal if abs(goal - pedal) <= 0.01 else pedal + (0.01 if goal > pedal else -0.01)
        session.step(pedal=pedal, **held)
    return session


def test_foot_brake_and_faults_by_hand_are_those_of_a_native_session(lab):
    lab.focus("#pedal")
    for key in ["PageUp", "PageUp", "ArrowRight"]:
        lab.keyboard.press(key)
    lab_browser.until(lab, "lab.charts.columns.last('blade.opening') > 0.1")
    lab.focus("#brake")
    lab.keyboard.press("End")
    lab.wait_for_timeout(50)
    lab.keyboard.press("Home")
    box = lab.locator("#pedal").bounding_box()
    lab.mouse.move(box["x"] + 0.7 * box["width"], box["y"] + box["height"] / 2)
    lab.mouse.down()
    lab.wait_for_timeout(100)
    assert 60 < float(lab.input_value("#pedal")) < 80
    lab.mouse.up()
    assert lab.input_value("#pedal") == "0", "it comes back to rest"
    lab.evaluate("document.activeElement.blur()")
    lab.keyboard.down("Space")
    lab_browser.until(lab, "lab.charts.columns.last('pedal.travel') === 1")
    lab.keyboard.up("Space")
    one = lab_browser.wire(lab, "pedal signal 1")
    one.tap() if lab.viewport_size["width"] == 360 else one.click()
    lab_browser.until(lab, "document.querySelector('#codes').textContent.includes('confirmed')")
    assert lab.inner_text("#ladder [aria-current]") != "none"
    assert one.get_attribute("aria-pressed") == "true"
    one.focus()
    lab.keyboard.press("Enter")
    assert one.get_attribute("aria-pressed") == "false", "mended"
    lab.select_option("#wire-fault", "short_to")
    lab.select_option("#wire-with", "throttle signal 2")
    lab.fill("#wire-amount", "100")
    lab_browser.wire(lab, "throttle signal 1").click()
    lab.select_option("#other-fault", label="pedal.track2: offset")
    lab.fill("#other-amount", "0.1")
    lab.click("#add-fault")
    lab.wait_for_timeout(200)
    lab.locator("#faults button").first.click()
    lab.click("#pause")
    log, ticks = lab.evaluate("lab.worker.ask('log')"), lab.evaluate("lab.frame.tick")
    assert {action["act"] for action in log} == {"pedal", "brake", "inject", "remove"}
    session = done_natively(log, ticks)
    compare(lab_browser.downloaded(lab), session.record)
    shown = [row.split("\t")[0] for row in lab.inner_text("#codes").splitlines()]
    entries = [*session.history.entries(), *session.history.modes()]
    assert shown == [entry.code.text for entry in entries if entry.state != "absent"]


def test_a_link_holds_the_whole_state(lab, chromium, path):
    moved(lab, "friction")
    lab.select_option("#body-part", "opposed-six")
    lab_browser.wire(lab, "motor +").click()
    lab.focus("#pedal")
    lab.keyboard.press("End")
    lab.wait_for_timeout(300)
    assert "not what is plugged in now" in lab.inner_text("#learned")
    lab.click("#link")
    lab_browser.until(lab, "location.hash.length > 10")
    again = lab_browser.opened(chromium, path, lab.viewport_size["width"], link=lab.evaluate("location.hash"))
    assert again.evaluate("lab.state()") == lab.evaluate("lab.state()")
    lab_browser.until(again, "lab.charts.columns.last('pedal.travel') === 1")
    assert again.failures == []
    again.context.close()


@pytest.mark.parametrize(("spoil", "reached"), [("", "accepted"), ("pressed_once", "refused")])
def test_the_range_learn_is_walked_through_and_spoilt(lab, spoil, reached):
    lab.click("#forget")
    assert "learned no range" in lab.inner_text("#learned")
    lab.select_option("#spoil", spoil)
    lab.select_option("#speed", "4")
    lab.click("#learn")
    lab_browser.until(lab, "document.querySelector('#steps [aria-current]')?.textContent === 'sweeping open'")
    lab.click("#finish")
    lab_browser.until(lab, "document.querySelector('#learn-result').textContent")
    native = _core.learn(lab_browser.bench(), disturbances=[spoil] if spoil else [])
    assert lab.inner_text("#steps [aria-current]") == reached
    compare(lab_browser.downloaded(lab), native.record)
    assert (native.reason or "turn the key on") in lab.inner_text("#learn-result")
    if native.accepted:
        assert lab.evaluate("lab.learned.throttle") == native.range.to_dict()["throttle"]


#: Waits for a step of the learn, then moves the pedal there within half a second of the simulation.
PRESS = """async ([step, goal]) => {
  const pedal = document.getElementById("pedal"), go = (seconds) => lab.worker.ask("finish", { seconds });
  await lab.worker.ask("pause");
  while (lab.frame.state.learn?.step !== step) await go(0.05);
  for (let k = 1; k <= 20; ++k) {
    pedal.value = 100 * (goal ? k / 20 : 1 - k / 20);
    pedal.dispatchEvent(new Event("input"));
    await go(0.025);
  }
  await go(0.3);
}"""


def test_the_learn_waits_for_a_foot_by_hand(lab):
    lab.select_option("#foot", "hand")
    lab.click("#learn")
    steps = {"first press": 1, "first release": 0, "second press": 1, "second release": 0}
    for step, goal in steps.items():
        lab.evaluate(PRESS, [step, goal])
    lab.evaluate("lab.worker.ask('finish', { seconds: 5 })")
    lab_browser.until(lab, "document.querySelector('#learn-result').textContent")
    assert "Accepted" in lab.inner_text("#learn-result")


SPOILT = [("#lab1=AAAA", "damaged"), ("#other", "does not hold"), ("#lab1=q1Yq", "damaged")]


@pytest.mark.parametrize(("link", "words"), SPOILT)
def test_a_spoilt_link_is_answered_with_a_sentence(chromium, path, link, words):
    lab = lab_browser.opened(chromium, path, link=link)
    assert words in lab.inner_text("#trouble")
    lab_browser.until(lab, "lab.frame.tick > 100")
    lab.context.close()


@pytest.mark.parametrize(
    "state", [{"pedal": "x"}, [1], {"learned": {"pedal": 7}}, {"faults": [{"where": "?"}]}]
)
def test_a_link_of_another_page_is_answered_with_a_sentence(chromium, path, state):
    lab = lab_browser.opened(chromium, path)
    first = {"pedal": contents.FIRST[0], "body": contents.FIRST[1]}
    given = {**first, **state} if isinstance(state, dict) else state
    link = lab.evaluate("(state) => toLink(state)", given)
    lab.context.close()
    lab = lab_browser.opened(chromium, path, link=link)
    assert lab.inner_text("#trouble")
    lab_browser.until(lab, "lab.frame.tick > 100")
    assert lab.failures == []
    lab.context.close()


@pytest.mark.skipif(
    not (lab_browser.TOOLS / "node_modules").is_dir(), reason="needs axe-core (.ci/lab gets it)"
)
def test_no_serious_defect_of_accessibility(lab):
    lab.evaluate("lab.toggle('pedal signal 1')")
    lab_browser.until(lab, "document.querySelector('#codes').textContent.includes('confirmed')")
    lab.evaluate("document.querySelector('details').open = true")
    lab.add_script_tag(path=lab_browser.TOOLS / "node_modules/axe-core/axe.min.js")
    found = lab.evaluate("axe.run()")["violations"]
    assert [(v["id"], [n["html"] for n in v["nodes"]]) for v in found if v["impact"] != "minor"] == []


@pytest.mark.skipif(
    not (lab_browser.TOOLS / "node_modules").is_dir(), reason="needs html-validate (.ci/lab gets it)"
)
def test_the_html_is_valid(path, tmp_path):
    rules = tmp_path / "rules.json"
    rules.write_text(json.dumps({"extends": ["html-validate:standard"], "root": True}), encoding="utf-8")
    validator = lab_browser.TOOLS / "node_modules/.bin/html-validate"
    answer = subprocess.run([validator, "--config", rules, path], capture_output=True, text=True)
    assert answer.returncode == 0, answer.stdout


def test_the_page_of_a_study(chromium, tmp_path):
    study, out = TOP / "examples/crossed.toml", tmp_path / "lab.html"
    assert CliRunner().invoke(main, ["lab", str(study), "--out", str(out)]).exit_code == 0
    lab = lab_browser.opened(chromium, out)
    assert lab.failures == []
    assert not lab.is_visible("#trouble"), lab.inner_text("#trouble")
    assert lab.title() == reader.load(study).title
    lab.context.close()


def test_what_the_page_cannot_run_and_a_missing_core_are_said_in_a_sentence(monkeypatch, tmp_path):
    file = tmp_path / "study.toml"
    file.write_text('title = "t"\npedals = ["knee", "opposed"]\nbodies = ["set-a"]\nlearn = ["fresh"]\n'
                    '[[bench.wiring.pin_out]]\nterminal = "motor +"\npin = "motor +"\n')  # fmt: skip
    answer = CliRunner().invoke(main, ["lab", str(file)])
    assert answer.exit_code == 2
    assert "pin-out" in answer.output
    monkeypatch.setattr(page, "CORE", "nothing.wasm")
    answer = CliRunner().invoke(main, ["lab", "--out", str(tmp_path / "lab.html")])
    assert answer.exit_code == 2
    assert "install emscripten" in answer.output
