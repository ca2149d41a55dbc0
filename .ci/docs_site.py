#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""Makes the source tree of the documentation site: pages of the tree, Python modules, C++ headers.

docs_site.py FOLDER          writes the tree that Sphinx reads
docs_site.py check FOLDER    every link inside the built site leads to a file and an anchor that are there
"""

import html.parser
import re
import shutil
import sys
import urllib.parse
from pathlib import Path

TOP = Path(__file__).parent.parent
LAYERS = [
    line
    for line in (TOP / ".ci/layers.txt").read_text(encoding="utf-8").split()
    if (TOP / "lib" / line).is_dir()
]
LESSONS = sorted(str(path.relative_to(TOP)) for path in (TOP / "examples/lessons").glob("*.md"))
PYTHON_PAGES = sorted(str(path.relative_to(TOP)) for path in (TOP / "python/twintrack").glob("*/README.md"))


def main(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    shutil.copy(TOP / ".ci/docs_conf.py", folder / "conf.py")
    pages = [f"lib/{layer}/README.md" for layer in LAYERS]
    for page in ["README.md", "DEVELOPERS.md", *pages, *PYTHON_PAGES]:
        copy_page(page, folder)
    shutil.copytree(TOP / "examples", folder / "examples")
    shutil.copy(TOP / "LICENSE", folder)
    modules = [reference(module, folder) for module in python_modules()]
    headers = [header_page(layer, folder) for layer in LAYERS]
    index = ["# twintrack", "", "Simulation of electronic throttle control.", ""]
    index += toctree("Start", ["README", "DEVELOPERS"])
    index += toctree("Lessons", [page.removesuffix(".md") for page in LESSONS])
    index += toctree("Models", [page.removesuffix(".md") for page in pages])
    index += toctree(
        "Studies, identification, notebooks and tests", [page.removesuffix(".md") for page in PYTHON_PAGES]
    )
    index += toctree("Python reference", modules) + toctree("C++ headers", headers)
    (folder / "index.md").write_text("\n".join(index), encoding="utf-8")


def toctree(caption: str, pages: list[str]) -> list[str]:
    return ["```{toctree}", f":caption: {caption}", ":maxdepth: 1", "", *pages, "```", ""]


def copy_page(page: str, folder: Path) -> None:
    text = (TOP / page).read_text(encoding="utf-8")
    text = text.replace("```mermaid", "```text")
    (folder / page).parent.mkdir(parents=True, exist_ok=True)
    (folder / page).write_text(text, encoding="utf-8")


def python_modules() -> list[str]:
    """Names of the package's public modules, those with a leading underscore left out but for the core."""
    package = TOP / "python/twintrack"
    found = []
    for path in sorted(package.rglob("*.py")):
        parts = ["twintrack", *path.relative_to(package).with_suffix("").parts]
        parts = parts[:-1] if parts[-1] == "__init__" else parts
        if not any(part.startswith("_") for part in parts):
            found.append(".".join(parts))
    return ["twintrack._core", *found]


def reference(module: str, folder: Path) -> str:
    place = f"reference/{module.replace('twintrack._core', 'twintrack.core')}"
    path = folder / f"{place}.rst"
    path.parent.mkdir(parents=True, exist_ok=True)
    # A package's own page has its text only: what it hands on is told where it is defined.
    package = (TOP / "python" / module.replace(".", "/") / "__init__.py").exists()
    options = "   :no-members:\n" if package else ""
    text = f"{module}\n{'=' * len(module)}\n\n.. automodule:: {module}\n{options}"
    path.write_text(text, encoding="utf-8")
    return place


def header_page(layer: str, folder: Path) -> str:
    """The headers of a layer: their comments hold equations, units, errors and literature."""
    lines = [f"# twintrack/{layer}", ""]
    for header in sorted((TOP / "include/twintrack" / layer).glob("*.hpp")):
        text = header.read_text(encoding="utf-8")
        text = re.sub(r"^// SPDX.*\n#pragma once\n", "", text)
        lines += [
            f"## {header.name}",
            "",
            f"`#include <twintrack/{layer}/{header.name}>`",
            "",
            "````cpp",
            text,
            "````",
            "",
        ]
    path = folder / f"headers/{layer}.md"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n".join(lines), encoding="utf-8")
    return f"headers/{layer}"


class Page(html.parser.HTMLParser):
    """Links and anchors of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.anchors: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        self.anchors |= {values[key] or "" for key in ("id", "name") if key in values}
        link = values.get("href" if tag in {"a", "link"} else "src")
        if link:
            self.links.append(link)


def check(folder: Path) -> int:
    pages = {}
    for path in folder.rglob("*.html"):
        page = Page()
        page.feed(path.read_text(encoding="utf-8"))
        pages[path.resolve()] = page
    complaints, count = [], 0
    for path, page in pages.items():
        for link in page.links:
            parts = urllib.parse.urlsplit(link)
            if parts.scheme or parts.netloc:
                continue
            count += 1
            target = (path.parent / urllib.parse.unquote(parts.path)).resolve() if parts.path else path
            if not target.exists():
                complaints.append(f"{path.relative_to(folder.resolve())}: no such file: {link}")
            elif (
                parts.fragment
                and target in pages
                and urllib.parse.unquote(parts.fragment) not in pages[target].anchors
            ):
                complaints.append(f"{path.relative_to(folder.resolve())}: no such place: {link}")
    for complaint in sorted(set(complaints)):
        print(complaint)
    print(f"{len(pages)} pages, {count} links, {len(set(complaints))} lead nowhere")
    return 1 if complaints or not pages else 0


if __name__ == "__main__":
    if sys.argv[1] == "check":
        sys.exit(check(Path(sys.argv[2])))
    main(Path(sys.argv[1]))
