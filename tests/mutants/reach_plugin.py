# SPDX-License-Identifier: BSD-3-Clause
"""pytest's part of python_reach: names the test that runs, for the note-taker in the copied package.

What a test enters counts for it; what its collection or a fixture of more than one test enters, for its file.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

#: Read by the note-taker, here and in child processes.
NODE = "TWINTRACK_NODE"


def _file(nodeid: str) -> str:
    return nodeid.partition("::")[0]


def _name(node: str) -> None:
    """From here on it is entered for ``node``."""
    os.environ[NODE] = node
    notes = sys.modules.get("twintrack._reached")
    if notes is not None:
        notes.forget()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    _name(item.nodeid)
    done = yield
    _name(_file(item.nodeid))
    return done


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef: pytest.FixtureDef, request: pytest.FixtureRequest) -> Iterator[None]:
    node = os.environ.get(NODE, "")
    if fixturedef.scope != "function":
        _name(_file(node))
    done = yield
    if fixturedef.scope != "function":
        _name(node)
    return done


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    with Path(os.environ["TWINTRACK_REACHED"]).open("a", encoding="utf-8") as notes:
        notes.write(f"{report.nodeid}\t={report.duration}\n")
