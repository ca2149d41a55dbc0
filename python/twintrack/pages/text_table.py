# SPDX-License-Identifier: BSD-3-Clause
"""Tables as plain text."""

from __future__ import annotations


def text_table(head: list[str], rows: list[list[str]]) -> str:
    widths = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]
    numeric = [bool(rows) and all(row[i].isdigit() for row in rows) for i in range(len(head))]
    return "\n".join(
        "  ".join(
            t.rjust(w) if n else t.ljust(w) for t, w, n in zip(row, widths, numeric, strict=True)
        ).rstrip()
        for row in [head, *rows]
    )
