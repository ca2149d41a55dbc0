# SPDX-License-Identifier: BSD-3-Clause
"""Summary, picks, pictures and the report, on a small table made by hand and on a real run."""

import html.parser
import itertools
import re

import pandas as pd
import pytest

import twintrack as tt
from twintrack.designs.pairing import interest, summary
from twintrack.pages import severity
from twintrack.pages.section import Cell


def row(pedal, body, learn, learned_pedal, learned_body, answer, **more):
    return {
        "pedal": pedal,
        "body": body,
        "learn": learn,
        "learned_pedal": learned_pedal,
        "learned_body": learned_body,
        "learn_accepted": None if learn == "none" else True,
        "learn_reason": "",
        "response": answer,
        "sentence": "",
        "unasked_opening": 0.0,
        "error_rest": 0.0,
        "error_half": 0.0,
        "error_full": 0.0,
        "codes": "P2138-62" if answer == "none" else "",
        "status": "completed",
    } | more


@pytest.fixture
def table():
    rows = [
        row("p", "b", "none", "", "", "none", codes="P2176-54"),
        row("q", "b", "none", "", "", "none", codes="P2176-54"),
        row("p", "b", "fresh", "p", "b", "right"),
        row("q", "b", "fresh", "q", "b", "none", learn_accepted=False, learn_reason="pressed once"),
        row("p", "b", "stale", "q", "b", "wrong", error_half=-0.07),
        row("p", "c", "stale", "q", "c", "uncommanded", unasked_opening=0.23),
        row("q", "b", "stale", "p", "b", "none"),
        row("p", "b", "stale", "p", "c", "wrong", error_full=0.05),
        row("p", "c", "stale", "p", "b", "", status="not run", learn_accepted=None),
    ]
    return pd.DataFrame(rows).astype({"learn_accepted": "boolean"})


def test_groups_and_tally(table):
    assert list(summary.group(table)) == ["none"] * 2 + ["fresh"] * 2 + ["pedal"] * 3 + ["body"] * 2
    counts = summary.tally(table)
    assert counts["pedal"] == {"right": 0, "none": 1, "wrong": 1, "uncommanded": 1, "": 0}
    assert counts["body"] == {"right": 0, "none": 0, "wrong": 1, "uncommanded": 0, "": 1}


def test_headline(table):
    assert summary.headline(table) == (
        "Before any range learn none of the 2 pairs responds; after it 1 of 2 pairs respond right. "
        "With no new learn 3 pedal swaps give 1 × no response, 1 × WRONG, 1 × UNCOMMANDED; "
        "2 body swaps give 1 × WRONG. Cases not run or not finished: 1."
    )


def test_matrices_show_the_worst(table):
    never, fresh, pedal, body = summary.matrices(table)
    assert never.cells["p", "b"] == Cell("none", "P2176-54")
    assert fresh.cells == {
        ("p", "b"): Cell("right"),
        ("q", "b"): Cell("none", "learn refused"),
    }
    assert pedal.cells["p", "q"] == Cell("uncommanded", "23 % beyond")
    assert body.cells["b", "c"] == Cell("wrong", "5 % off")
    assert (pedal.rows, pedal.columns) == (["p", "q"], ["p", "q"])


def test_picks_tell_the_story(table):
    assert [pick.number for pick in interest.choose(table)] == [0, 2, 6, 5, 4, 7, 3]


def test_unsafe_is_worse_than_any_wrong(table):
    table.loc[4, "error_full"] = 0.9
    assert interest.badness(table).idxmax() == 5


class Page(html.parser.HTMLParser):
    """Collects the text, the images and every address a browser would fetch."""

    def __init__(self, text):
        super().__init__()
        self.words, self.images, self.fetched, self.links, self.open = [], 0, [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        values = dict(attributes)
        self.images += tag in ("img", "svg")
        if tag in ("script", "link", "iframe", "object", "embed"):
            self.fetched.append(tag)
        if "src" in values and not values["src"].startswith("data:"):
            self.fetched.append(values["src"])
        if tag == "a" and "href" in values:
            self.links.append(values["href"])

    def handle_data(self, data):
        self.words.append(data)


@pytest.fixture(scope="module")
def report(finished):
    return finished, finished.folder / "report.html"


def test_report_is_whole_and_stands_alone(report):
    done, path = report
    page = Page(path.read_text())
    text = " ".join(page.words)
    assert "<b>small</b> & fine" in text
    assert summary.headline(done.table) in text
    assert page.fetched == ["script"] * text_scripts(path)
    assert "url(http" not in path.read_text()
    assert path.stat().st_size < 3_000_000


def text_scripts(path):
    """The library that draws curves, the page's own, and the data of each curve; all stand inside."""
    text = path.read_text()
    assert "<script src" not in text
    return 2 + text.count('<script type="application/json">')


def test_curves_of_the_page_are_the_cases_that_tell_the_story(report):
    done, path = report
    picks = interest.choose(done.table)
    assert path.read_text().count('class="chart"') == len(picks)
    for pick in picks:
        assert f"{pick.why}: case {pick.number}, " in path.read_text()


def test_report_says_where_limits_come_from_and_warns(report):
    text = " ".join(Page(report[1].read_text()).words)
    for value, _unit, origin in tt.limits().values():
        assert origin in text
        assert re.search(rf"\b{100 * value:g} %|\b{1000 * value:g} ms", text)
    assert "A simulation is no proof of safety" in text
    assert "hands and tools out of the bore" in text
    assert tt.__version__ in text


@pytest.mark.parametrize("words", [severity.RESPONSES, severity.GRADES])
def test_words_differ_in_lightness_and_in_symbol(words):
    """For colour-blind readers and grey printers: relative luminance (Rec. 709 weights) differs by steps."""

    def luminance(colour):
        red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    looks = [severity.LOOKS[word] for word in words]
    assert len({look.symbol for look in looks}) == len({look.word for look in looks}) == len(words)
    light = sorted(luminance(look.fill) for look in looks)
    assert all(b - a > 0.03 for a, b in itertools.pairwise(light))


@pytest.mark.parametrize(
    ("response", "hazard", "faulty", "detected", "detection", "grade"),
    [
        ("uncommanded", True, True, False, "missed", "hazard"),
        ("uncommanded", True, True, True, "late", "late"),
        ("wrong", False, True, True, "in time", "in time"),
        ("wrong", False, True, False, "missed", "missed"),
        ("none", False, True, False, "missed", "missed"),
        ("right", False, True, True, "in time", "in time"),
        ("right", False, True, False, "not needed", "not needed"),
        ("right", False, False, True, "false alarm", "false alarm"),
        ("right", False, False, False, "not needed", "not needed"),
    ],
)
def test_the_scale_of_severity(response, hazard, faulty, detected, detection, grade):
    rated = severity.rate(response, hazard, faulty, detected, "none")
    assert (rated["detection"], rated["grade"]) == (detection, grade)
    refused = severity.rate(response, hazard, faulty, True, "none", refused=True)["grade"]
    assert refused == ("refused" if not hazard else "late" if faulty else "false alarm")


def test_codes_of_before_the_fault_do_not_count():
    """Of a case whose first fault comes at 3 s after a code at 1.6 s (nothing learned)."""
    late = tt.Fault(where="pedal.track1", what="offset", amount=0.01, start=3.0)
    bench = tt.BenchParameters()
    (ran,) = tt.run_batch([tt.Case(parameters=bench, learn="none", faults=[late])], [None])
    assert ran.result.codes[0].confirmed < 3.0
    assert ran.result.detected_after != ran.result.detected_after  # NaN: none
    assert ran.result.reaction == "motor off"


def test_the_hazard_has_a_limit_and_a_time():
    """A stale pedal opens the blade 14 % at rest for seconds: a hazard by 10 %, none by 40 %."""
    high, low = tt.pedal("half-slope-high"), tt.pedal("half-slope-low")
    bench = tt.BenchParameters(pedal=high, body=tt.body("opposed-six"))
    answers = []
    for hazard in (None, (0.4, 0.1), (0.1, 20.0)):
        case = tt.Case(parameters=bench, learn="stale", learn_pedal=low, hazard=hazard)
        answers.append(tt.run_case(case).response)
    assert answers == ["uncommanded", "wrong", "wrong"]
    with pytest.raises(tt.InvalidParameter, match="hazard"):
        tt.Case(parameters=bench, hazard=(2.0, 0.1))
