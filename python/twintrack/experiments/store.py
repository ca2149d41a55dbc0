# SPDX-License-Identifier: BSD-3-Clause
"""The folder of an experiment: what it is of, and which cases are finished.

    experiment.json                          the plan with its fingerprint, who made it, and a checksum of all
    cases/block=0000/000000000-000000099-1f0c….parquet     the cases 0 … 99; a block is 65,536 cases

A file of cases appears at once under the range of its cases and its checksum, when it is complete and on the
disk. What is finished is therefore what the names say, whenever the power went; everything else is run again.
A file that is not what its name says is refused.
"""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError, listing
from ..files.output import UNFINISHED, write
from .plan import MOST, Plan

if TYPE_CHECKING:
    import pyarrow as pa

MANIFEST = "experiment.json"
BLOCK = 65_536


class Store:
    """A folder of results; :meth:`open` makes it or goes on in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._checked: set[Path] = set()

    @staticmethod
    @contextmanager
    def open(folder: Path, plan: Plan) -> Iterator[Store]:
        """For writing, by one process at a time.

        Raises :class:`InputError` when it holds something else, is in use, damaged or cannot be written.
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
            raise InputError(f"{folder}: another process is running an experiment here") from error
        except OSError as error:
            raise InputError(
                f"{folder}: cannot write results here: {error.strerror or error}; what is finished is kept, "
                "and the same command goes on"
            ) from error

    def _begin(self, plan: Plan) -> None:
        for left in self.folder.rglob(f"{UNFINISHED}*"):
            left.unlink()
        path = self.folder / MANIFEST
        if path.exists():
            self._same(plan)
            return
        if self.files():
            raise InputError(
                f"{self.folder}: there are cases, and {MANIFEST} is missing; choose another folder"
            )
        content = {
            "twintrack": _core.__version__,
            "fingerprint": plan.fingerprint(),
            "plan": plan.to_plain(),
        }
        text = json.dumps({"checksum": _digest(_plain(content))} | content, indent=1, allow_nan=False)
        write(path, text.encode())

    def _same(self, plan: Plan) -> None:
        """Refuses a study that is not the one whose results are here."""
        known = self.manifest()
        if known["twintrack"] != _core.__version__:
            raise InputError(
                f"{self.folder}: holds results made with twintrack {known['twintrack']}, this is "
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
        """What the folder says it holds. Raises :class:`InputError` when it holds no results, or damaged
        ones."""
        path = self.folder / MANIFEST
        try:
            content = json.loads(path.read_text(encoding="utf-8"))
        except OSError as error:
            raise InputError(f"{self.folder}: no results here ({MANIFEST}: {error.strerror})") from error
        except (ValueError, RecursionError) as error:
            raise InputError(f"{path}: is damaged; choose another folder ({error})") from error
        if not isinstance(content, dict) or content.pop("checksum", "") != _digest(_plain(content)):
            raise InputError(f"{path}: was changed or is damaged (checksum); choose another folder")
        return content

    def plan(self) -> Plan:
        """The plan of what is here."""
        known = self.manifest()
        if known["twintrack"] != _core.__version__:
            raise InputError(
                f"{self.folder}: holds results made with twintrack {known['twintrack']}, this is "
                f"{_core.__version__}"
            )
        return Plan.from_plain(known["plan"])

    def files(self) -> list[tuple[int, int, Path]]:
        """First and last (exclusive) case of each finished file, in order; each is checked once."""
        found: list[tuple[int, int, Path]] = []
        taken = 0
        for path in sorted((self.folder / "cases").glob("*/[0-9]*.parquet")):
            try:
                begin, end, digest = path.stem.split("-")
                found.append((int(begin), int(end) + 1, path))
            except ValueError:
                raise InputError(f"{path}: is no file of cases; take it away") from None
            if path not in self._checked:
                self._check(path, digest, int(end) + 1 - int(begin))
        for first, last, path in sorted(found):
            if first < taken:
                raise InputError(f"{path}: holds cases that another file holds too; the folder is damaged")
            taken = last
        return sorted(found)

    def _check(self, path: Path, digest: str, rows: int) -> None:
        import pyarrow.parquet as pq

        content = path.read_bytes()
        if _digest(content) != digest or pq.ParquetFile(io.BytesIO(content)).metadata.num_rows != rows:
            raise InputError(
                f"{path}: is damaged: it is not what was written; take it away, and the same command runs "
                "its cases again"
            )
        self._checked.add(path)

    def missing(self, cases: int) -> list[tuple[int, int]]:
        """Ranges of the cases below ``cases`` that are not finished."""
        if cases > MOST:
            raise InputError(f"{cases:.3g} cases are too many; at most {MOST:,}")
        found, begin = [], 0
        for first, last in [*((first, last) for first, last, _ in self.files()), (cases, cases)]:
            while begin < min(first, cases):
                end = min(first, cases, (begin // BLOCK + 1) * BLOCK)
                found.append((begin, end))
                begin = end
            begin = max(begin, last)
        return found

    def finished(self) -> int:
        """How many cases are finished."""
        return sum(last - first for first, last, _ in self.files())

    def add(self, first: int, table: pa.Table) -> None:
        """Writes the finished cases ``first`` …; all of them appear at once, or none."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        if table.num_rows == 0:
            return
        folder = self.folder / "cases" / f"block={first // BLOCK:04d}"
        folder.mkdir(parents=True, exist_ok=True)
        sink = pa.BufferOutputStream()
        # A piece has few rows and many columns, whose dictionaries and statistics would be most of it.
        pq.write_table(table, sink, compression="zstd", use_dictionary=False, write_statistics=False)
        content = sink.getvalue().to_pybytes()
        path = folder / f"{first:09d}-{first + table.num_rows - 1:09d}-{_digest(content)}.parquet"
        write(path, content)
        self._checked.add(path)


def _plain(content: dict[str, Any]) -> bytes:
    return json.dumps(content, sort_keys=True).encode()


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]


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
