# SPDX-License-Identifier: BSD-3-Clause
"""The pytest plug-in: options, fixtures, and the parameters ``twintrack_unit`` and ``twintrack_fault``.

Every name begins with ``twintrack``, so that it meets no other plug-in's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from .. import _core
from ..bench import Bench
from ..designs.audit.faults import SingleFault, single_faults
from ..errors import InputError
from ..experiments.result import Result
from ..experiments.study import Study
from ..studies import own_controller, setups
from ..studies.own_controller import OwnController
from .drive import Drive

#: ``(stroke, faults=(), watched=True)`` to a Drive.
Driver = Callable[..., Drive]

_UNITS = pytest.StashKey[list[OwnController]]()

_PAIR = {"pedal": "half-slope-low", "body": "opposed-six"}


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("twintrack", "a controller of one's own on a bench for electronic throttles")
    group.addoption(
        "--twintrack-unit",
        action="append",
        default=[],
        metavar="UNIT",
        help="the controller: 'module:factory' or a shared object *.so; given again, all tests are run with "
        "each (default: the built-in controller)",
    )
    for part, name in _PAIR.items():
        words = {"pedal": "the pedal", "body": "the throttle body"}[part]
        group.addoption(f"--twintrack-{part}", metavar="NAME", help=f"{words} by name or TOML file")
        parser.addini(f"twintrack_{part}", f"{words} by name or TOML file", default=name)


def _part(config: pytest.Config, part: str) -> str:
    return str(config.getoption(f"--twintrack-{part}") or config.getini(f"twintrack_{part}"))


def _bench(config: pytest.Config) -> Bench:
    try:
        return Bench(pedal=_part(config, "pedal"), body=_part(config, "body"))
    except ValueError as error:
        raise pytest.UsageError(f"twintrack: {error}") from None


def _unit(text: str) -> OwnController:
    try:
        return own_controller.load(text)
    except InputError as error:
        raise pytest.UsageError(f"--twintrack-unit: {error}") from None


def pytest_configure(config: pytest.Config) -> None:
    """What the command line names is looked at first, so that an error in it is one line."""
    config.stash[_UNITS] = [_unit(text) for text in config.getoption("--twintrack-unit")]
    if any(config.getoption(f"--twintrack-{part}") for part in _PAIR):
        _bench(config)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    units = metafunc.config.stash[_UNITS]
    if units and "twintrack_unit" in metafunc.fixturenames:
        metafunc.parametrize(
            "twintrack_unit",
            units,
            ids=[Path(unit.name).stem for unit in units],
            indirect=True,
            scope="session",
        )
    if "twintrack_fault" in metafunc.fixturenames:
        faults = single_faults(_bench(metafunc.config).parameters)
        metafunc.parametrize("twintrack_fault", faults, ids=[_id(fault) for fault in faults])


def _id(fault: SingleFault) -> str:
    """Brackets would end the name of a test."""
    return fault.label.replace("[", "(").replace("]", ")")


@pytest.fixture(scope="session")
def twintrack_bench(pytestconfig: pytest.Config) -> Bench:
    """The pair of the options, after its range learn. A fixture of that name of one's own replaces it."""
    bench = _bench(pytestconfig)
    learn = bench.learn()
    if not learn.accepted:
        pytest.fail(f"{bench}: the range learn is refused: {learn.reason}", pytrace=False)
    return bench


@pytest.fixture(scope="session")
def twintrack_unit(request: pytest.FixtureRequest) -> OwnController | None:
    """The controller of ``--twintrack-unit``; ``None``: the built-in one."""
    return getattr(request, "param", None)


@pytest.fixture(scope="session")
def twintrack_drive(twintrack_bench: Bench, twintrack_unit: OwnController | None) -> Driver:
    """``drive(stroke, faults=(), watched=True)``: a run of the bench with the controller under test."""
    return _driver(twintrack_bench, twintrack_unit)


@pytest.fixture(scope="session")
def twintrack_reference(twintrack_bench: Bench) -> Driver:
    """The same with the built-in controller."""
    return _driver(twintrack_bench, None)


@pytest.fixture
def twintrack_study(twintrack_unit: OwnController | None, tmp_path: Path) -> Callable[..., Result]:
    """``study(path)`` or ``study(pedals=…, bodies=…, …)``: all cases with the controller under test."""

    def run(path: str | Path | None = None, **table: Any) -> Result:
        study = Study.load(path) if path is not None else Study.make(**table)
        unit = twintrack_unit.name if twintrack_unit is not None else None
        return study.run(tmp_path / "results", unit=unit, progress=False)

    return run


def _driver(bench: Bench, unit: OwnController | None) -> Driver:
    unwatched = bench.parameters.replace(monitor=setups.setup("none"))
    healthy: dict[Any, Drive] = {}

    def run(stroke: _core.Stroke, faults: Sequence[_core.Fault], watched: bool) -> Drive:
        parameters = bench.parameters if watched else unwatched
        made = None if unit is None else unit.made()
        if made is not None and not isinstance(made, _core.SharedController):
            made = made(bench.learned, parameters, parameters.control_period)
        result = _core.run(parameters, stroke, learned=bench.learned, faults=list(faults), controller=made)
        return Drive(result, stroke, min((fault.start for fault in faults), default=0.0))

    def drive(stroke: _core.Stroke, faults: Sequence[_core.Fault] = (), watched: bool = True) -> Drive:
        if faults:
            return run(stroke, faults, watched)
        key = tuple(stroke.time), tuple(stroke.travel), watched
        if key not in healthy:
            healthy[key] = run(stroke, (), watched)
        return healthy[key]

    return drive
