#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""The rules of the tree that no compiler checks: layers, symmetry, sizes, licence lines, links."""

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

TOP = Path(__file__).parent.parent


def lines_of(name: str) -> list[str]:
    lines = (TOP / ".ci" / name).read_text(encoding="utf-8").split("\n")
    return [line for line in lines if line and not line.startswith("#")]


LAYERS, PYTHON_LAYERS = lines_of("layers.txt"), lines_of("python_layers.txt")
PACKAGE = Path("python/twintrack")
MOST_LINES = {".hpp": 200, ".cpp": 300, ".py": 300}
MOST_FUNCTION_LINES = 60
# No third library's header in ours (its users would need it too); no files and no console below the faces.
FORBIDDEN_PUBLIC = re.compile(r"#include <(boost|Eigen|unsupported|pybind11)/")
FORBIDDEN_LIBRARY = re.compile(r"#include <(fstream|filesystem|iostream|ctime)>")
TOP_LEVEL = {
    *(
        "CMakeLists.txt",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "lib",
        "include",
        "python",
        "examples",
        "tests",
    ),
    *("pyproject.toml", "CMakePresets.json", ".clang-format", ".gitignore", ".ci"),  # what a tool insists on
}


def tracked() -> list[Path]:
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(command, cwd=TOP, capture_output=True, check=True, text=True).stdout
    return [Path(name) for name in sorted(names.split("\0")) if name and (TOP / name).is_file()]


def text_of(path: Path) -> str:
    return (TOP / path).read_text(encoding="utf-8")


def layer_of(path: Path) -> str | None:
    """The layer a library file lies in: include/twintrack/LAYER/… or lib/LAYER/…"""
    parts = path.parts
    if parts[:2] == ("include", "twintrack") and len(parts) > 3:
        return parts[2]
    return parts[1] if parts[0] == "lib" and len(parts) > 2 else None


def check_layers(path: Path) -> list[str]:
    """Includes go downward only, and what may not be included is not."""
    layer = layer_of(path)
    if layer is None or path.suffix not in {".hpp", ".cpp"}:
        return []
    if layer not in LAYERS:
        return [f"{path}: '{layer}' is no layer of .ci/layers.txt"]
    found = []
    for number, line in enumerate(text_of(path).splitlines(), 1):
        match = re.match(r'#include "twintrack/(\w+)/', line)
        if match and (match[1] not in LAYERS or LAYERS.index(match[1]) > LAYERS.index(layer)):
            found.append(f"{path}:{number}: '{layer}' includes '{match[1]}', which lies above it")
        if re.match(r'#include "\.\.?/', line):
            found.append(f"{path}:{number}: an include by a relative path hides its layer: {line}")
        if FORBIDDEN_LIBRARY.match(line) or (path.parts[0] == "include" and FORBIDDEN_PUBLIC.match(line)):
            found.append(f"{path}:{number}: may not stand here: {line}")
    return found


def imported(path: Path) -> list[tuple[int, str]]:
    """Line and name, below the package, of all that a module of the package imports from it."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    found = []
    for node in ast.walk(ast.parse(text_of(path))):
        if isinstance(node, ast.ImportFrom) and node.level:
            base = [*parts[: len(parts) - node.level], *(node.module or "").split(".")]
            names = [base] if base[0] else [[alias.name] for alias in node.names]
            found += [(node.lineno, name[0]) for name in names]
    return found


def check_python_layers(path: Path) -> list[str]:
    """Imports between the modules and subpackages of the package go downward only."""
    if path.suffix != ".py" or PACKAGE not in path.parents:
        return []
    layer = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    if layer in {"__init__", "__main__"}:
        return []
    if layer not in PYTHON_LAYERS:
        return [f"{path}: '{layer}' is no line of .ci/python_layers.txt"]
    allowed = {"_core", "__version__", *PYTHON_LAYERS[: PYTHON_LAYERS.index(layer) + 1]}
    return [
        f"{path}:{number}: '{layer}' imports '{name}', which lies above it"
        for number, name in imported(path)
        if name not in allowed
    ]


def check_symmetry(path: Path, paths: set[Path]) -> list[str]:
    """A library source implements a header of its own folder; each source and test is built."""
    if (
        path.suffix != ".cpp"
        or path.parts[0] not in {"lib", "tests"}
        or path.parts[:2] == ("tests", "consumer")
    ):
        return []
    found = []
    layer = layer_of(path)
    if layer and not re.search(rf'^#include "(twintrack/{layer}/)?[^/]+\.hpp"', text_of(path), re.MULTILINE):
        found.append(f"{path}: includes no header of its own folder")
    support = path.with_suffix(".hpp") in paths
    if path.parts[:2] == ("tests", "unit") and not path.stem.endswith("_test") and not support:
        found.append(f"{path}: a test file is named HEADER_test.cpp")
    lists = [p for p in (path.parent / "CMakeLists.txt", path.parent.parent / "CMakeLists.txt") if p in paths]
    if not any(re.search(rf"\b{re.escape(path.name)}\b", text_of(p)) for p in lists):
        found.append(f"{path}: no CMakeLists.txt beside it names it, so it is never built")
    return found


def check_size(path: Path) -> list[str]:
    most = MOST_LINES.get(path.suffix)
    lines = text_of(path).count("\n") if most else 0
    return [f"{path}: {lines} lines, at most {most}"] if most and lines > most else []


def check_licence(path: Path) -> list[str]:
    scripts = path.parts[0] == ".ci" and path.suffix == ""
    if path.suffix not in {".hpp", ".cpp", ".py", ".cmake"} and not scripts:
        return []
    first = [line for line in text_of(path).splitlines()[:2] if not line.startswith("#!")][:1]
    if first and re.fullmatch(r"(//|#) SPDX-License-Identifier: BSD-3-Clause", first[0]):
        return []
    return [f"{path}: the first line is not the SPDX line"]


def check_links(path: Path) -> list[str]:
    """Links of a page to files of the tree lead somewhere."""
    if path.suffix != ".md":
        return []
    found = []
    for target in re.findall(r"\]\(([^)#\s]+)", text_of(path)):
        if not re.match(r"\w+:", target) and not (TOP / path.parent / target).exists():
            found.append(f"{path}: a link leads nowhere: {target}")
    return found


def long_functions(paths: list[Path]) -> list[str]:
    """C++ functions measured by ctags, Python functions by their syntax tree."""
    found = []
    sources = [str(p) for p in paths if p.suffix in {".hpp", ".cpp"}]
    command = ["ctags", "--output-format=json", "--fields=+ne", "--kinds-C++=f", "--languages=C++"]
    command += ["--langmap=C++:.cpp.hpp", "-f", "-", *sources]
    answer = subprocess.run(command, cwd=TOP, capture_output=True, check=True, text=True).stdout
    for tag in map(json.loads, answer.splitlines()):
        lines = tag.get("end", tag["line"]) - tag["line"] + 1
        if lines > MOST_FUNCTION_LINES:
            found.append(
                f"{tag['path']}:{tag['line']}: {tag['name']} has {lines} lines, at most {MOST_FUNCTION_LINES}"
            )
    for path in (p for p in paths if p.suffix == ".py"):
        for node in ast.walk(ast.parse(text_of(path))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                lines = (node.end_lineno or node.lineno) - node.lineno + 1
                if lines > MOST_FUNCTION_LINES:
                    found.append(
                        f"{path}:{node.lineno}: {node.name} has {lines} lines, at most {MOST_FUNCTION_LINES}"
                    )
    return found


def main() -> int:
    paths = tracked()
    known = set(paths)
    complaints = []
    for path in paths:
        complaints += check_layers(path) + check_python_layers(path)
        complaints += check_symmetry(path, known) + check_size(path)
        complaints += check_licence(path) + check_links(path)
    complaints += long_functions(paths)
    complaints += [
        f"{p}: does not belong at the top" for p in sorted({q.parts[0] for q in paths} - TOP_LEVEL)
    ]
    folders = sorted({p.parts[1] for p in paths if p.parts[0] == "lib" and len(p.parts) > 2})
    complaints += [f"lib/{f}: has no README.md" for f in folders if Path("lib", f, "README.md") not in known]
    for parent in (Path("lib"), Path("tests/unit"), Path("tests")):
        named = text_of(parent / "CMakeLists.txt")
        built = {p.parent.name for p in paths if p.name == "CMakeLists.txt" and p.parent.parent == parent}
        missing = sorted(f for f in built - {"consumer"} if not re.search(rf"\b{f}\b", named))
        complaints += [f"{parent}/{f}: {parent}/CMakeLists.txt does not name it" for f in missing]
    for complaint in complaints:
        print(complaint)
    print(f"{len(paths)} files, {len(complaints)} complaints")
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main())
