# SPDX-License-Identifier: BSD-3-Clause
"""The lab page opens where a lesson begins."""

import lab_browser
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.lab import contents

LESSONS = list(tt.lessons.lessons())


@pytest.mark.parametrize("lesson", LESSONS)
def test_it_holds_the_bench_the_range_and_the_stroke(lesson):
    found, state, bench = contents.of_lesson(lesson), tt.lessons.state(lesson), tt.lessons.bench(lesson)
    assert found["first"] == [state["pedal"], state["body"]]
    assert found["stroke"] == state["stroke"]
    assert [(f["where"], f["what"]) for f in found["faults"]] == [
        (f["where"], f["what"]) for f in state["faults"]
    ]
    assert found["learned"]["pedal_name"] == state["learned_with"]["pedal"]
    assert found["bench"]["controller"] == bench.parameters.controller.to_dict()


@pytest.mark.parametrize(
    ("words", "said"),
    [(["--lesson", "two track"], "two tracks"), (["--lesson", "pid", "study.toml"], "not both")],
)
def test_what_is_no_lesson_is_refused(words, said):
    answer = CliRunner().invoke(main, ["lab", *words])
    assert answer.exit_code == 2
    assert said in answer.output


@lab_browser.needed
def test_the_page_of_a_mixed_pair_says_so_and_its_stroke_gives_what_tt_run_gives(tmp_path):
    path = tmp_path / "lab.html"
    assert CliRunner().invoke(main, ["lab", "--lesson", "learned range", "--out", str(path)]).exit_code == 0
    bench, state = tt.lessons.bench("learned range"), tt.lessons.state("learned range")
    record = bench.run(tt.Stroke(**state["stroke"])).record
    with lab_browser.browser() as chromium:
        lab = lab_browser.opened(chromium, path)
        assert "half-slope-low and opposed-six: not what is plugged in now" in lab.inner_text("#learned")
        lab.click("#stroke")
        lab.click("#finish")
        columns = lab_browser.downloaded(lab)
        assert lab.failures == []
    assert columns["blade.opening"] == record["blade.opening"].tolist()
