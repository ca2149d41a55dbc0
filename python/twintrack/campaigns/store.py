# SPDX-License-Identifier: BSD-3-Clause
"""The folder of a campaign: what it is of, and which cases are finished.

    campaign.json                             the plan with its fingerprint, and who made it
    cases/block=0000/000000000-000000099.parquet    the cases 0 … 99, and so on; a block is 65,536 cases

A file of cases appears at once under the range of its cases, when it is complete and on the disk. What is
finished is therefore what the names say, whenever the power went; everything else is run again.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from .. import _core
from ..errors import InputError, listing
from .plan import Plan

MANIFEST = "campaign.json"
BLOCK = 65_536
_UNFINISHED = ".unfinished-"


class Store:
    """A folder of results; :meth:`open` makes it or goes on in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    @staticmethod
    @contextmanager
    def open(folder: Path, plan: Plan) -> Iterator[Store]:
        """For writing, by one process at a time.

        Raises :class:`InputError` when it holds another campaign, is in use or cannot be written.
        """
        import filelock

        try:
            folder.mkdir(parents=True, exist_ok=True)
            lock = filelock.FileLock(folder / ".lock")
            with lock.acquire(blocking=False):
                store = Store(folder)
                store._begin(plan)
                yield store
        except filelock.Timeout as error:
            raise InputError(f"{folder}: another process is running a campaign here") from error
        except OSError as error:
            raise InputError(f"{folder}: cannot write results here: {error.strerror or error}") from error

    def _begin(self, plan: Plan) -> None:
        for left in self.folder.rglob(f"{_UNFINISHED}*"):
            left.unlink()
        path = self.folder / MANIFEST
        if path.exists():
            self._same(plan)
            return
        content = {
            "twintrack": _core.__version__,
            "fingerprint": plan.fingerprint(),
            "plan": plan.to_plain(),
        }
        self._write(path, json.dumps(content, indent=1, allow_nan=False).encode())

    def _same(self, plan: Plan) -> None:
        """Refuses a study that is not the one whose results are here."""
        known = self.manifest()
        if known["twintrack"] != _core.__version__:
            raise InputError(
                f"{self.folder}: holds a campaign made with twintrack {known['twintrack']}, this is "
                f"{_core.__version__}; choose another folder"
            )
        if known["fingerprint"] == plan.fingerprint():
            return
        what = differences(Plan.from_plain(known["plan"]).essence(), plan.essence())
        raise InputError(
            f"{self.folder}: holds results of this study as it was before it was changed ({listing(what[:5])}"
            f"{', …' if len(what) > 5 else ''}); choose another folder, or take the change back"
        )

    def manifest(self) -> dict[str, Any]:
        """What the folder says it holds. Raises :class:`InputError` when it is no campaign."""
        path = self.folder / MANIFEST
        try:
            content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        except (OSError, json.JSONDecodeError) as error:
            raise InputError(f"{self.folder}: no results of a campaign here ({MANIFEST}: {error})") from error
        return content

    def plan(self) -> Plan:
        """The campaign's plan."""
        return Plan.from_plain(self.manifest()["plan"])

    def files(self) -> list[tuple[int, int, Path]]:
        """First and last (exclusive) case of each finished file, in order."""
        found = []
        for path in (self.folder / "cases").glob("*/[0-9]*.parquet"):
            first, last = map(int, path.stem.split("-"))
            found.append((first, last + 1, path))
        return sorted(found)

    def missing(self, cases: int, chunk: int) -> Iterator[tuple[int, int]]:
        """Ranges of at most ``chunk`` of the cases below ``cases`` that are not finished."""
        begin = 0
        for first, last, path in [*self.files(), (cases, cases, None)]:
            if first < begin:
                raise InputError(f"{path}: holds cases that another file holds too; the folder is damaged")
            while begin < min(first, cases):
                end = min(first, cases, (begin // chunk + 1) * chunk)
                yield begin, end
                begin = end
            begin = max(begin, last)

    def finished(self, cases: int | None = None) -> int:
        """How many cases are finished (below ``cases``)."""
        return sum(
            max(0, (last if cases is None else min(last, cases)) - first) for first, last, _ in self.files()
        )

    def add(self, first: int, table: pa.Table) -> None:
        """Writes the finished cases ``first`` …; all of them appear at once, or none."""
        if table.num_rows == 0:
            return
        folder = self.folder / "cases" / f"block={first // BLOCK:04d}"
        folder.mkdir(parents=True, exist_ok=True)
        sink = pa.BufferOutputStream()
        pq.write_table(table, sink, compression="zstd")
        name = f"{first:09d}-{first + table.num_rows - 1:09d}.parquet"
        self._write(folder / name, sink.getvalue())

    @staticmethod
    def _write(path: Path, content: Any) -> None:
        """The file appears at once, when it is on the disk."""
        unfinished = path.with_name(_UNFINISHED + path.name)
        with unfinished.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)


def differences(old: Any, new: Any, place: str = "") -> list[str]:
    """Dotted names of what differs between two nested plain values."""
    if isinstance(old, dict) and isinstance(new, dict):
        keys = list(dict.fromkeys([*old, *new]))
        inside = [differences(old.get(k), new.get(k), f"{place}.{k}" if place else k) for k in keys]
        return [name for names in inside for name in names]
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        pairs = enumerate(zip(old, new, strict=True), 1)
        return [name for i, (a, b) in pairs for name in differences(a, b, f"{place}[{i}]")]
    return [] if old == new else [place]
