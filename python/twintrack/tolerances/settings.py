# SPDX-License-Identifier: BSD-3-Clause
"""How parameters are sampled: the table ``[sampling]``."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import closest, listing
from ..files.toml_file import TomlFile
from .sampling import METHODS


@dataclass(frozen=True)
class Sampling:
    """``block``: points of each Latin hypercube, or of each independent stream."""

    method: str = "sobol"
    block: int = 256


def sampling_from_file(file: TomlFile) -> Sampling:
    """``method`` and ``block``; both have defaults."""
    table = file.table.get("sampling", {})
    if not isinstance(table, dict):
        file.fail(("sampling",), "must be a table ([sampling])", table)
    file.only(("sampling",), table, ["method", "block"])
    method, block = table.get("method", "sobol"), table.get("block", 256)
    if method not in METHODS:
        file.fail(
            ("sampling", "method"),
            f"must be one of {listing(METHODS)}{closest(str(method), METHODS)}",
            method,
        )
    if type(block) is not int or not 2 <= block <= 1_000_000:
        file.fail(("sampling", "block"), "must be a whole number from 2 to 1000000", block)
    return Sampling(method, block)
