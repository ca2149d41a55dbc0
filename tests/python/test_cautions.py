# SPDX-License-Identifier: BSD-3-Clause
"""The cautions stand, in the same words, wherever something would be done at a real throttle."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.cautions import CAUTION, CAUTIONS, ENGINE_CAUTION, EXPERIMENT_CAUTIONS
from twintrack.command.cli import main
from twintrack.files.learned import save_range
from twintrack.pages.page import report

TOP = Path(__file__).parents[2]
HEADERS = ["bench/learn.hpp", "control/range_learn.hpp", "plant/bridge.hpp", "plant/bridge_guard.hpp"]
EXAMPLES = sorted(p for p in (TOP / "examples").iterdir() if p.suffix in {".toml", ".py", ".cpp"})


def plain(text: str) -> str:
    """Words only: without comment signs, markup and line ends."""
    return " ".join(re.sub(r"^\s*(///?|#|>|\*)\s?", "", text, flags=re.MULTILINE).replace("**", "").split())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name)
def test_examples(path):
    assert CAUTION in plain(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", HEADERS)
def test_headers(name):
    assert CAUTION in plain((TOP / "include/twintrack" / name).read_text(encoding="utf-8"))


@pytest.mark.parametrize("thing", [tt.Bench, tt.Bench.learn, tt.learn, save_range])
def test_docstrings(thing):
    assert CAUTION in plain(thing.__doc__)


@pytest.mark.parametrize(
    "words", [[], ["run"], ["show"], ["identify"], ["design-test"], ["compare"], ["safety"], ["tune"]]
)
def test_help(words):
    assert CAUTION in plain(CliRunner().invoke(main, [*words, "--help"]).output)


def test_pages():
    page = report("title", "headline", [], [], [])
    assert page.index(CAUTION.replace("'", "&#39;")) < page.index("headline"), "on top"
    for text in CAUTIONS:
        assert text.replace("'", "&#39;") in page


def test_readme():
    text = plain((TOP / "README.md").read_text(encoding="utf-8"))
    assert CAUTION in text
    assert all(caution in text for caution in CAUTIONS)


@pytest.mark.parametrize(
    "page", ["lib/engine/README.md", "examples/idle_at_1600.toml", "examples/idle_maps.toml"]
)
def test_engine_pages(page):
    assert ENGINE_CAUTION in plain((TOP / page).read_text(encoding="utf-8"))


def test_a_planned_test_prints_them(tmp_path):
    result = CliRunner().invoke(
        main, ["design-test", "half-slope-six", "--seconds", "3", "--out", str(tmp_path)]
    )
    assert result.exit_code == 0, result.output
    assert CAUTION in result.output
    assert all(caution in result.output for caution in EXPERIMENT_CAUTIONS)
