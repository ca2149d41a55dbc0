# SPDX-License-Identifier: BSD-3-Clause
"""Summary, picks, pictures and the report, on a small table made by hand and on a real run."""

import html.parser
import itertools
import re

import pandas as pd
import pytest

import twintrack as tt
from twintrack.pages import matrix as pairing_plot
from twintrack.pairing import interest, summary


def row(pedal, body, learn, learned_pedal, learned_body, answer, **more):
    return {
        "pedal": pedal,
        "body": body,
        "learn": learn,
        "learned_pedal": learned_pedal,
        "learned_body": learned_body,
        "learn_accepted": None if learn == "none" else True,
        "learn_reason": "",
        "answer": answer,
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
        row("p", "c", "stale", "q", "c", "unsafe", unasked_opening=0.23),
        row("q", "b", "stale", "p", "b", "none"),
        row("p", "b", "stale", "p", "c", "wrong", error_full=0.05),
        row("p", "c", "stale", "p", "b", "", status="not run", learn_accepted=None),
    ]
    return pd.DataFrame(rows).astype({"learn_accepted": "boolean"})


def test_groups_and_tally(table):
    assert list(summary.group(table)) == ["none"] * 2 + ["fresh"] * 2 + ["pedal"] * 3 + ["body"] * 2
    counts = summary.tally(table)
    assert counts["pedal"] == {"right": 0, "none": 1, "wrong": 1, "unsafe": 1, "": 0}
    assert counts["body"] == {"right": 0, "none": 0, "wrong": 1, "unsafe": 0, "": 1}


def test_headline(table):
    assert summary.headline(table) == (
        "Before any range learn none of the 2 pairs answers; after it 1 of 2 pairs answer right. "
        "With no new learn 3 pedal swaps give 1 × no answer, 1 × WRONG, 1 × UNSAFE; "
        "2 body swaps give 1 × WRONG. Cases not run or not finished: 1."
    )


def test_matrices_show_the_worst(table):
    never, fresh, pedal, body = summary.matrices(table)
    assert never.cells["p", "b"] == pairing_plot.Cell("none", "P2176-54")
    assert fresh.cells == {
        ("p", "b"): pairing_plot.Cell("right"),
        ("q", "b"): pairing_plot.Cell("none", "learn refused"),
    }
    assert pedal.cells["p", "q"] == pairing_plot.Cell("unsafe", "23 % unasked")
    assert body.cells["b", "c"] == pairing_plot.Cell("wrong", "5 % off")
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
    return finished[0], finished[1] / "report.html"


def test_report_is_whole_and_stands_alone(report):
    done, path = report
    page = Page(path.read_text())
    text = " ".join(page.words)
    assert "<b>small</b> & fine" in text
    assert summary.headline(done.table) in text
    assert page.fetched == []
    assert page.images == 4 + len(interest.choose(done.table))
    assert "url(http" not in path.read_text()
    assert all((path.parent / link).exists() for link in page.links)
    assert len(page.links) == len(done.traces)


def test_report_says_where_limits_come_from_and_warns(report):
    text = " ".join(Page(report[1].read_text()).words)
    for value, _unit, origin in tt.limits().values():
        assert origin in text
        assert re.search(rf"\b{100 * value:g} %|\b{1000 * value:g} ms", text)
    assert "Simulation is no proof of safety" in text
    assert "hands out of the bore" in text
    assert tt.__version__ in text


def test_answers_differ_in_lightness_and_in_words():
    """For colour-blind readers and grey printers: relative luminance (Rec. 709 weights) differs by steps."""

    def luminance(colour):
        red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    looks = [pairing_plot.LOOKS[answer] for answer in interest.ANSWERS]
    assert len({look.symbol for look in looks}) == len({look.word for look in looks}) == 4
    light = sorted(luminance(look.fill) for look in looks)
    assert all(b - a > 0.05 for a, b in itertools.pairwise(light))
