# SPDX-License-Identifier: BSD-3-Clause
"""``python -m twintrack`` is the command ``twintrack``."""

from .command.cli import main

main(prog_name="twintrack")
