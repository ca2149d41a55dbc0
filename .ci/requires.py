#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""What pyproject.toml asks for, one requirement a line: requires.py build|run|test..."""

import sys
import tomllib
from pathlib import Path

project = tomllib.loads((Path(__file__).parent.parent / "pyproject.toml").read_text(encoding="utf-8"))
lists = {
    "build": project["build-system"]["requires"],
    "run": project["project"]["dependencies"],
    **project["project"]["optional-dependencies"],
}
for name in sys.argv[1:]:
    print(*lists[name], sep="\n")
