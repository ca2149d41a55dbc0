# SPDX-License-Identifier: BSD-3-Clause
"""Results in a folder: tables, and a stage on which everything is made before it appears."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from ..errors import InputError

if TYPE_CHECKING:
    import pandas as pd


def write_table(table: pd.DataFrame, stage: Path, name: str) -> None:
    """The table as Parquet and as CSV."""
    table.to_parquet(stage / f"{name}.parquet")
    table.to_csv(stage / f"{name}.csv", float_format="%.9g")


@contextmanager
def stage(out: Path) -> Iterator[Path]:
    """A hidden folder inside ``out`` in which everything is written first; gone afterwards in any case."""
    try:
        made = not out.exists()
        out.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(prefix=".unfinished-", dir=out))
    except OSError as error:
        raise InputError(f"{out}: cannot write results here: {error.strerror or error}") from error
    except ValueError as error:  # a NUL in the path
        raise InputError(f"{out}: cannot write results here: {error}") from error
    try:
        yield stage
    finally:
        shutil.rmtree(stage, ignore_errors=True)
        if made and not any(out.iterdir()):
            out.rmdir()


def publish(stage: Path, out: Path, old: Iterable[Path]) -> None:
    """Moves the finished files into place, each at once; ``old`` ones, of an earlier run, go."""
    for path in old:
        path.unlink()
    folder = out / "traces"
    if (stage / "traces").is_dir():
        folder.mkdir(exist_ok=True)
        for path in sorted((stage / "traces").iterdir()):
            path.replace(folder / path.name)
    for path in sorted(stage.iterdir()):
        if path.is_file():
            path.replace(out / path.name)
