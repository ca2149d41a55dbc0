# SPDX-License-Identifier: BSD-3-Clause
"""The page of a report in headless Chromium: no error, and it sorts, filters, draws and zooms.

The page gets a script at its end that does what a reader would and writes what came of it into the page; the
browser prints the page then. Skipped where there is no Chromium.
"""

import html
import json
import re
import shutil
import subprocess

import pytest

from twintrack.pages import page
from twintrack.pages.section import Bars, Cell, HeatMap, Lines, Section, Table

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")

ACTS = """
const seen = {errors: window.failures, width: innerWidth, overflow: document.documentElement.scrollWidth};
const table = document.querySelector("table.data");
const column = (k) => [...table.tBodies[0].rows].filter((r) => !r.hidden).map((r) => r.cells[k].textContent);
const heads = table.tHead.querySelectorAll("th");
heads[1].click();
seen.rising = column(1);
heads[1].click();
seen.falling = column(1);
heads[0].click();
seen.grades = column(0);
const filter = document.querySelector("input.filter");
filter.value = "hazard 9";
filter.dispatchEvent(new Event("input"));
seen.filtered = column(2);
seen.charts = document.querySelectorAll(".chart canvas").length;
seen.values = document.querySelector(".u-legend").textContent;
seen.headline = document.querySelector(".lead").textContent;
document.body.innerHTML = "<pre id=seen></pre>";
document.getElementById("seen").textContent = JSON.stringify(seen);
"""

ROWS = [(Cell(("hazard", "in time", "missed")[k % 3]), (k * 7) % 10, f"row {k}") for k in range(10)]
SECTIONS = [
    Section(
        "Picture",
        [
            HeatMap(
                "map", "row", "", ["a"], ["x|1", "x|2"], {("a", "x|1"): Cell("hazard", "9 %")}, narrow=True
            ),
            HeatMap("wide", "row", "column", ["a"], list("bcdefghij"), {("a", "b"): Cell("late", "note")}),
            Bars([("hazard", 0.1, 0.05, 0.2, "10 %")], "bars", 0.3),
        ],
    ),
    Section("Table", ["A paragraph.", Table(["grade", "number", "name"], ROWS)]),
    Section("Curves", [Lines("<b>", [0.0, 1.0], {"blade": [1.0, float("nan")]}, "t", "y", [(0.5, "P1")])]),
]


@pytest.fixture(scope="module", params=[1200, 420])
def seen(request, tmp_path_factory):
    text = page.report("<title>", "The answer.", ["care"], SECTIONS, [("what", "this")])
    failures = "<script>window.failures = []; onerror = (text) => failures.push(text);</script>"
    text = text.replace("<main>", failures + "<main>", 1).replace(
        "</body>", f"<script>addEventListener('load', () => {{{ACTS}}});</script></body>"
    )
    path = tmp_path_factory.mktemp("page") / "report.html"
    path.write_text(text, encoding="utf-8")
    command = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=4000"]
    command += [f"--window-size={request.param},900", "--dump-dom", path.as_uri()]
    dom = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True).stdout
    found = re.search(r'<pre id="seen">(.*?)</pre>', dom, re.DOTALL)
    assert found, dom[-2000:]
    return json.loads(html.unescape(found[1]))


def test_it_opens_without_an_error_and_says_its_headline(seen):
    assert seen["errors"] == []
    assert seen["headline"] == "The answer."


def test_nothing_runs_off_a_narrow_screen(seen):
    assert seen["overflow"] <= seen["width"]


def test_tables_sort_and_filter(seen):
    numbers = [str(k) for k in range(10)]
    assert seen["rising"] == numbers
    assert seen["falling"] == numbers[::-1]
    assert [grade[0] for grade in seen["grades"]] == ["▲"] * 4 + ["≠"] * 3 + ["●"] * 3, "worst first"
    assert seen["filtered"] == ["row 9"]


def test_curves_are_drawn_with_their_values(seen):
    assert seen["charts"] == 1
    assert "blade" in seen["values"]
