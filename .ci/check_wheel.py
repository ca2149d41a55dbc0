#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""What the wheel holds and what it does not: check_wheel.py WHEEL"""

import re
import sys
import zipfile
from pathlib import Path

MOST_BYTES = 5_000_000
WANTED = [
    r"twintrack/__init__\.py",
    r"twintrack/_core\..*(so|pyd)",
    r"twintrack/_core\.pyi",
    r"twintrack/libtwintrack_fmu\.so",
    r"twintrack/include/twintrack/c/bench\.h",
    r"twintrack/py\.typed",
    r"twintrack/parts/.*\.toml",
    r"twintrack-.*/entry_points\.txt",
    r"twintrack-.*/licenses/LICENSE",
]
# All that the page is made of.
WANTED += [
    re.escape(path.relative_to("python").as_posix())
    for kind in ("*.html.j2", "*.css", "*.js")
    for path in Path("python/twintrack").rglob(kind)
]


def main() -> int:
    wheel = Path(sys.argv[1])
    names = zipfile.ZipFile(wheel).namelist()
    complaints = [f"nothing like {want}" for want in WANTED if not any(re.fullmatch(want, n) for n in names)]
    complaints += [
        f"holds {name}"
        for name in names
        if not re.match(r"twintrack[/-]", name) or name.endswith((".hpp", ".pyc"))
    ]
    version = re.search(
        r"project\(twintrack VERSION ([0-9.]+)", Path("CMakeLists.txt").read_text(encoding="utf-8")
    )
    if version is None or not wheel.name.startswith(f"twintrack-{version[1]}-"):
        complaints.append("its version is not that of CMakeLists.txt")
    if wheel.stat().st_size > MOST_BYTES:
        complaints.append(f"{wheel.stat().st_size} bytes, at most {MOST_BYTES}")
    for complaint in complaints:
        print(f"{wheel.name}: {complaint}")
    print(f"{wheel.name}: {len(names)} files, {wheel.stat().st_size} bytes")
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main())
