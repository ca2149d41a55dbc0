# SPDX-License-Identifier: BSD-3-Clause
"""ngspice, a general-purpose circuit simulator, beside the solver: operating points of many decks in one
process."""

import subprocess
from collections.abc import Sequence
from pathlib import Path

import numpy as np


def operating_points(
    decks: Sequence[tuple[str, list[str]]], folder: Path, start: Sequence[dict[str, float]] | None = None
) -> list[dict[str, float]]:
    """Volts of each node of each (text, nodes) deck by name; empty where the simulator found none.
    ``start``: where its iteration begins."""
    lines = ["* operating points", ".control", "set filetype=ascii"]
    for k, (text, nodes) in enumerate(decks):
        if start:
            sets = "".join(
                f".nodeset v(n{nodes.index(n)})={v!r}\n" for n, v in start[k].items() if n in nodes
            )
            text = text.replace(".end\n", f"{sets}.end\n")
        (folder / f"net{k}.cir").write_text(text)
        # as tests/unit/wiring does: its default pivot threshold loses ten digits on some of these nets
        lines += [
            f"source {folder}/net{k}.cir",
            "option reltol=1e-9 abstol=1e-12 vntol=1e-9 pivrel=0.1",
            "op",
        ]
        lines += [f"write {folder}/net{k}.raw", "destroy all", "remcirc"]
    (folder / "run.sp").write_text("\n".join([*lines, "quit", ".endc", ".end", ""]))
    subprocess.run(["ngspice", "-b", str(folder / "run.sp")], check=True, capture_output=True, timeout=120)
    return [_read(folder / f"net{k}.raw", nodes) for k, (_, nodes) in enumerate(decks)]


def _read(path: Path, nodes: list[str]) -> dict[str, float]:
    if not path.exists():
        return {}
    head, _, values = path.read_text().partition("Values:\n")
    names = [line.split()[1] for line in head.partition("Variables:\n")[2].splitlines() if line.strip()]
    numbers = [float(word) for word in values.split()[1:]]  # the point's number comes first
    volts = dict(zip(names, numbers, strict=True))
    found = {node: volts[f"v(n{k})"] for k, node in enumerate(nodes) if f"v(n{k})" in volts}
    return found if np.isfinite(list(found.values())).all() else {}
