# SPDX-License-Identifier: BSD-3-Clause
"""Sphinx settings of the site that .ci/docs builds; copied beside the pages."""

import re

project = "twintrack"
html_title = "twintrack"
extensions = ["myst_parser", "sphinx.ext.autodoc"]
source_suffix = {".md": "markdown", ".rst": "restructuredtext"}
html_theme = "furo"
highlight_language = "text"
default_role = "code"
myst_heading_anchors = 3
autodoc_member_order = "bysource"
autodoc_default_options = {"members": True, "undoc-members": False, "show-inheritance": False}
autodoc_typehints = "signature"
autodoc_inherit_docstrings = False
toc_object_entries = False  # of every object on every page: four fifths of the time
html_show_copyright = False
html_copy_source = False
# Two classes of the same name in two modules, named in an annotation: the link leads to one of them.
suppress_warnings = ["ref.python"]

_CODE = re.compile(r"(``[^`]+``|:\w+:`[^`]+`|`[^`]+`)")


def plain(_app, _what, _name, _object, _options, lines: list[str]) -> None:
    """Docstrings hold formulas and tables in plain text: what is indented stays as it is."""
    made: list[str] = []
    block = False
    for line in lines:
        if not line.strip():
            made.append("")
            continue
        hanging = bool(made) and made[-1].startswith(("* ", "  ")) and not block
        if line.startswith("    ") and not block and not hanging:
            told = next((text for text in reversed(made) if text), "")
            made += [""] if told.endswith("::") else ["", "::", ""]
        elif block and not line.startswith("    "):
            made.append("")
        block = line.startswith("    ") and not hanging
        made.append(line if block else escaped(line))
    lines[:] = made


def escaped(line: str) -> str:
    """The line with ``*``, ``|`` and ending ``_`` outside of code taken as characters."""
    bullet = "* " if line.startswith("* ") else ""
    parts = _CODE.split(line.removeprefix(bullet))
    for k in range(0, len(parts), 2):
        parts[k] = re.sub(r"([*|\\]|(?<=\w)_(?=\W|$))", r"\\\1", parts[k])
    return bullet + "".join(parts)


def setup(app) -> None:
    app.connect("autodoc-process-docstring", plain)
