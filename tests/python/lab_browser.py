# SPDX-License-Identifier: BSD-3-Clause
"""The lab page in headless Chromium, driven by Playwright; for test_lab*.py."""

import contextlib
import csv
import importlib.util
import io
import os
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from twintrack import _core
from twintrack.command.cli import main
from twintrack.lab import contents
from twintrack.lab import page as lab_page
from twintrack.parts import catalogue as parts
from twintrack.parts import engines

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
#: Where .ci/lab puts axe-core and html-validate.
TOOLS = Path(os.environ.get("TWINTRACK_LAB_TOOLS", "build/lab")).absolute()


def why_not() -> str:
    """Why the page cannot be tested here; empty where it can."""
    if CHROMIUM is None:
        return "needs Chromium"
    if importlib.util.find_spec("playwright") is None:
        return "needs Playwright (.ci/lab gets it)"
    try:
        lab_page.core()
    except ValueError:
        return "needs the WebAssembly core (.ci/lab builds it by emscripten)"
    return ""


needed = pytest.mark.skipif(bool(why_not()), reason=why_not())


@contextlib.contextmanager
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"]
        )
        yield chromium
        chromium.close()


def opened(chromium, path, width=1400, link="", touch=False):
    """The page when it is ready to be driven; what goes wrong in it is kept in `page.failures`."""
    context = chromium.new_context(viewport={"width": width, "height": 900}, has_touch=touch)
    page = context.new_page()
    page.failures = []
    page.on("pageerror", lambda error: page.failures.append(str(error)))
    page.on("request", lambda request: fetched(page, request.url))
    page.goto(path.as_uri() + link)
    page.wait_for_selector("body[data-ready]", timeout=60_000)
    return page


def until(page, condition):
    """Waits for a condition, by a clock: on a busy machine pictures are rare."""
    page.wait_for_function(condition, polling=50, timeout=90_000)


def fetched(page, url):
    """The page itself and its worker may be loaded, nothing else."""
    if not url.startswith(("file:", "blob:", "data:")):
        page.failures.append(f"fetches {url}")


def downloaded(page):
    """The columns of the CSV file by name."""
    with page.expect_download() as download:
        page.click("#csv")
    text = Path(download.value.path()).read_text(encoding="utf-8")
    rows = list(csv.reader(io.StringIO(text)))
    return {name: [float(row[k]) for row in rows[1:]] for k, name in enumerate(rows[0])}


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    path = tmp_path_factory.mktemp("lab") / "lab.html"
    assert CliRunner().invoke(main, ["lab", "--out", str(path)]).exit_code == 0
    assert path.stat().st_size <= 3_000_000
    return path


@pytest.fixture(scope="module")
def chromium():
    with browser() as launched:
        yield launched


@pytest.fixture(params=[1400, 360])
def lab(request, chromium, path):
    shown = opened(chromium, path, request.param, touch=request.param == 360)
    yield shown
    assert shown.failures == []
    assert not shown.is_visible("#trouble"), shown.inner_text("#trouble")
    assert shown.evaluate("document.documentElement.scrollWidth") <= request.param
    shown.context.close()


def bench(pedal=contents.FIRST[0], body=contents.FIRST[1], **changes):
    engine = next(iter(engines.engines().values()))
    made = _core.BenchParameters(pedal=parts.pedal(pedal), body=parts.body(body), engine=engine)
    return made.replace(changes)


def wire(lab, terminal):
    return lab.locator(f'.wire[aria-label^="{terminal}:"]')
