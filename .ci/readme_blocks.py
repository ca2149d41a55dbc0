#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""The code blocks of README.md, so that what it shows is what runs.

readme_blocks.py print LANGUAGE N    prints the Nth block of that language
readme_blocks.py check               refuses a README with blocks that nothing runs
"""

import pathlib
import re
import sys

README = pathlib.Path(__file__).parent.parent / "README.md"
# How many blocks of each language README holds. `.ci/run` runs each of them; text is not code.
EXPECTED = {"sh": 2, "python": 1, "cpp": 1}


def blocks(text: str) -> list[tuple[str, str, str]]:
    """(heading it stands under, language, code) of each fenced block, in order."""
    found = []
    heading = ""
    for match in re.finditer(r"^##* ([^\n]+)$|^```(\w*)\n(.*?)^```$", text, re.MULTILINE | re.DOTALL):
        if match[1]:
            heading = match[1]
        else:
            found.append((heading, match[2], match[3]))
    return found


def check() -> int:
    """Complains of blocks nothing runs, and of a Start that is not two single commands."""
    complaints = []
    found = blocks(README.read_text(encoding="utf-8"))
    for language, count in EXPECTED.items():
        have = sum(1 for _, name, _ in found if name == language)
        if have != count:
            complaints.append(f"{have} blocks of {language}, expected {count}")
    complaints += [
        f"a block of '{name}': nothing runs it" for _, name, _ in found if name not in {*EXPECTED, "text"}
    ]
    for heading, name, code in found:
        if name == "sh" and heading != "Start":
            complaints.append(f"a sh block under '{heading}', expected under 'Start'")
        if name == "sh" and len(code.strip().replace("\\\n", " ").splitlines()) != 1:
            complaints.append(f"a sh block of more than one command: {code.strip()}")
    for complaint in complaints:
        print(f"README.md: {complaint}")
    return 1 if complaints else 0


def main() -> int:
    if sys.argv[1:] == ["check"]:
        return check()
    _, language, number = sys.argv[1:]
    wanted = [code for _, name, code in blocks(README.read_text(encoding="utf-8")) if name == language]
    print(wanted[int(number) - 1], end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
