#!/usr/bin/env -S python3 -E -S
# SPDX-License-Identifier: BSD-3-Clause
"""Runs a compiler and notes what it took: measured.py COMPILER ARGUMENT...

ccache calls it (CCACHE_PREFIX) for what it really compiles; where there is no ccache, CMake does
(CMAKE_CXX_COMPILER_LAUNCHER). Appends "peak kB, processor seconds, kind, source" to the file that
TWINTRACK_COMPILER_LOG names; kind is "plain" or "sanitizer".
"""

import os
import resource
import subprocess
import sys

status = subprocess.call(sys.argv[1:])
used = resource.getrusage(resource.RUSAGE_CHILDREN)
peak = used.ru_maxrss  # of the largest process below, which is the compiler
source = next((os.path.realpath(a) for a in sys.argv[2:] if a.endswith((".cpp", ".cxx", ".ii"))), "")
kind = "sanitizer" if any(a.startswith("-fsanitize=") for a in sys.argv) else "plain"
log = os.environ.get("TWINTRACK_COMPILER_LOG")
if log and "-c" in sys.argv:
    with open(
        log, "a", encoding="utf-8"
    ) as file:  # one short line: written whole beside other compilers' lines
        file.write(f"{peak}\t{used.ru_utime + used.ru_stime:.1f}\t{kind}\t{source}\n")
sys.exit(status if status >= 0 else 128 - status)
