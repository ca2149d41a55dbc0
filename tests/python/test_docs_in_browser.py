# SPDX-License-Identifier: BSD-3-Clause
"""The documentation site in headless Chromium: pages open without an error, and the search finds its terms.

``.ci/docs`` builds the site and names it in TWINTRACK_DOCS; without it or Chromium this is left out.
"""

import http.server
import os
import re
import shutil
import subprocess
import threading
from functools import partial
from pathlib import Path

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
SITE = os.environ.get("TWINTRACK_DOCS", "")
pytestmark = pytest.mark.skipif(not (CHROMIUM and SITE), reason="needs Chromium and a built site")


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_words):
        pass


@pytest.fixture(scope="module")
def address():
    """Of the site on this machine: the search reads its index by a request, which a file address refuses."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=SITE))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def opened(address: str, width: int = 1400) -> tuple[str, str]:
    """The page as the browser has it after its scripts, and what it printed of errors."""
    command = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--enable-logging=stderr", "--v=0"]
    command += ["--virtual-time-budget=20000", f"--window-size={width},900", "--dump-dom", address]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return done.stdout, "\n".join(re.findall(r".*CONSOLE.*(?:Error|error|Failed).*", done.stderr))


@pytest.mark.parametrize(
    "page", ["index", "README", "lib/plant/README", "headers/lanes", "reference/twintrack.bench"]
)
def test_a_page_opens_without_an_error_and_has_a_search_box(address, page):
    text, errors = opened(f"{address}/{page}.html")
    assert not errors
    assert re.search(r'<input[^>]+name="q"', text)


@pytest.mark.parametrize(
    ("words", "page"),
    [
        ("spring torque", "lib/plant/README"),
        ("fault_memory", "headers/monitor"),
        ("save_range", "reference/twintrack.files.learned"),
    ],
)
def test_the_search_finds_pages_docstrings_and_headers(address, words, page):
    text, errors = opened(f"{address}/search.html?q={words.replace(' ', '+')}")
    assert not errors
    found = text[text.index('id="search-results"') :]
    assert f"{page}.html" in found


def test_every_page_is_in_the_contents():
    contents = Path(SITE, "index.html").read_text(encoding="utf-8")
    for folder in ("lib", "headers"):
        for page in Path(SITE, folder).rglob("*.html"):
            assert page.relative_to(SITE).as_posix() in contents, page
