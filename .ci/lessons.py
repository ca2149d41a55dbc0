#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""Makes the notebooks of the lessons from their Markdown and runs them.

lessons.py FOLDER [LESSON.md...]    writes FOLDER/LESSON.ipynb with outputs; fails at the first cell that does
"""

import sys
import time
from pathlib import Path

import jupytext
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

LESSONS = Path(__file__).parent.parent / "examples/lessons"


def run(source: Path, folder: Path) -> bool:
    """Whether every cell ran; the notebook is written in either case."""
    began = time.monotonic()
    notebook = jupytext.read(source)
    failed = ""
    try:
        NotebookClient(
            notebook,
            timeout=600,  # of a cell, on a machine with much else to do
            startup_timeout=300,
            kernel_name="python3",
            extra_arguments=["--log-level=40"],
            resources={"metadata": {"path": str(folder)}},
        ).execute()
    except CellExecutionError as error:
        failed = str(error)
    jupytext.write(notebook, folder / f"{source.stem}.ipynb")
    print(f"{source.name}: {time.monotonic() - began:.1f} s {failed}", flush=True)
    return not failed


def main(folder: str, *names: str) -> int:
    Path(folder).mkdir(parents=True, exist_ok=True)
    sources = [Path(name) for name in names] or sorted(LESSONS.glob("*.md"))
    began = time.monotonic()
    good = [run(source, Path(folder)) for source in sources]
    print(f"{sum(good)} of {len(good)} lessons ran, {time.monotonic() - began:.0f} s")
    return 0 if good and all(good) else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
