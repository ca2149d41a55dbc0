#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""The gate for the hand: what changed since main, in a minute on a warm tree: .ci/run quick [REF]

1. Changed are the files that differ from the merge base with REF (default: main; on main itself: with its
   upstream, else from HEAD), committed or not, and new ones.
2. Changed C++ and Python files are formatted; the rules of the tree are checked on all files.
3. Of C++, the test programs of the touched layers are built and run: lib/plant, include/twintrack/plant and
   tests/unit/plant touch plant; tests/laws and tests/literature touch themselves. Layers above that include a
   changed header are left to the whole gate.
4. Of Python, the module is built, and those tests run that changed, import a changed module, or bear the
   name of its subpackage (test_audit*.py). A change of the bindings runs test_bench.py and test_study.py.
"""

import os
import re
import subprocess
import sys
import time
from pathlib import Path

TOP = Path(__file__).parent.parent
BUILD = TOP / "build" / "release"
PACKAGE = Path("python/twintrack")
PYTHON = TOP / "build" / "venv" / "bin" / "python"
OF_BINDINGS = ("test_bench.py", "test_study.py")


def run(*words: str | Path, **more: object) -> bool:
    began = time.monotonic()
    done = subprocess.run([str(word) for word in words], cwd=TOP, check=False, **more)  # type: ignore[call-overload]
    shown = " ".join(Path(word).name if isinstance(word, Path) else word for word in words[:3])
    print(
        f"{'ok     ' if done.returncode == 0 else 'FAILED '} {time.monotonic() - began:5.1f} s  {shown} …",
        flush=True,
    )
    return done.returncode == 0


def git(*words: str) -> str:
    return subprocess.run(
        ["git", *words], cwd=TOP, capture_output=True, text=True, check=False
    ).stdout.strip()


def changed(ref: str) -> list[Path]:
    base = git("merge-base", ref, "HEAD") or "HEAD"
    if base == git("rev-parse", "HEAD"):
        base = git("merge-base", "@{upstream}", "HEAD") or "HEAD"
    names = git("diff", "--name-only", base).splitlines()
    names += git("ls-files", "--others", "--exclude-standard").splitlines()
    return [Path(name) for name in sorted(set(names)) if (TOP / name).is_file()]


def programs(paths: list[Path]) -> list[str]:
    """Test programs of the layers that the files belong to."""
    found = set()
    for path in paths:
        parts = path.parts
        layer = parts[2] if parts[:2] in {("include", "twintrack"), ("tests", "unit")} else ""
        layer = parts[1] if parts[0] == "lib" else layer
        if layer and (TOP / "tests" / "unit" / layer).is_dir():
            found.add(f"{layer}_tests")
        if parts[:2] in {("tests", "laws"), ("tests", "literature")}:
            found.add({"laws": "law_tests", "literature": "literature_tests"}[parts[1]])
        if parts[:2] == ("tests", "support"):
            text = path.relative_to("tests").as_posix()
            users = subprocess.run(
                ["git", "grep", "-l", text, "tests"], cwd=TOP, capture_output=True, text=True
            )
            found |= set(programs([p for p in map(Path, users.stdout.split()) if p.parts[1] != "support"]))
    return sorted(found)


def concerned(path: Path) -> re.Pattern[str]:
    """Finds, among the imports of a test, the module at `path` of the package."""
    *folders, module = path.relative_to(PACKAGE).with_suffix("").parts
    if not folders:
        return re.compile(rf"\b(twintrack\.|tt\.|twintrack import .*\b){module}\b")
    return re.compile(rf"\b{folders[-1]}(\.| import .*\b){module}\b")


def python_tests(paths: list[Path]) -> list[str]:
    changed = {p.as_posix() for p in paths if p.match("tests/python/test_*.py")}
    patterns = [concerned(p) for p in paths if PACKAGE in p.parents and p.suffix == ".py"]
    folders = {p.relative_to(PACKAGE).parts[0].removesuffix(".py") for p in paths if PACKAGE in p.parents}
    helpers = [p.stem for p in paths if p.parent == Path("tests/python")]
    patterns += [re.compile(rf"import {name}\b|from {name} import") for name in helpers]
    if any(path.parts[:2] == ("python", "bindings") for path in paths):
        changed |= {f"tests/python/{name}" for name in OF_BINDINGS}
    for test in sorted((TOP / "tests" / "python").glob("test_*.py")):
        imports = "\n".join(
            re.findall(r"^\s*(?:from|import) .*|\btt\.\w+", test.read_text(encoding="utf-8"), re.M)
        )
        of_folder = any(test.stem.startswith(f"test_{name}") for name in folders)
        if of_folder or any(pattern.search(imports) for pattern in patterns):
            changed.add(test.relative_to(TOP).as_posix())
    return sorted(changed)


def package() -> Path:
    """The package with the module just built, by links, so that nothing built lies in the source tree."""
    folder = TOP / "build" / "quick" / "twintrack"
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.iterdir():
        if old.is_symlink():
            old.unlink()
    for entry in [*(TOP / PACKAGE).iterdir(), *(BUILD / "python" / "bindings").glob("_core*.so")]:
        link = folder / entry.name
        if entry.name != "__pycache__" and not link.exists():
            link.symlink_to(entry)
    return folder.parent


def formatted(paths: list[Path]) -> bool:
    good = True
    cpp = [p for p in paths if p.suffix in {".cpp", ".hpp"}]
    python = [p for p in paths if p.suffix == ".py"]
    ruff = TOP / "build" / "tools" / "bin" / "ruff"
    if cpp:
        good &= run("clang-format", "-i", *cpp)
    if python and ruff.exists():
        good &= run(ruff, "format", "-q", *python) & run(ruff, "check", "-q", *python)
    return good & run("python3", ".ci/check_tree.py")


def main() -> int:
    began = time.monotonic()
    paths = changed(sys.argv[1] if len(sys.argv) > 1 else "main")
    print(f"{len(paths)} files changed")
    good = formatted(paths)
    targets, tests = programs(paths), python_tests(paths)
    if (targets or tests) and not (BUILD / "CMakeCache.txt").exists():
        print("nothing is built yet: .ci/test first")
        return 1
    wanted = [*targets, *(["_core"] if tests else [])]
    if wanted and not run("cmake", "--build", BUILD, "--target", *wanted):
        return 1
    if targets:
        labels = "|".join(target.removesuffix("_tests") for target in targets)
        words = ["--test-dir", BUILD, "-L", f"^({labels})$", "-j", str(os.cpu_count())]
        good &= run("ctest", *words, "--output-on-failure", "--progress")
    if tests:
        print(*tests)
        good &= run(
            PYTHON,
            "-m",
            "pytest",
            "-q",
            "-n",
            "2",
            "--dist",
            "loadfile",
            *tests,
            env={**os.environ, "PYTHONPATH": str(package())},
        )
    print(f"{'passed' if good else 'FAILED'} in {time.monotonic() - began:.0f} s")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
