# SPDX-License-Identifier: BSD-3-Clause
"""The verdict of each case for other programs: JUnit's XML, which test systems read, or JSON."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as xml
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from ..errors import InputError
from ..files import output
from ..pages.severity import LOOKS

#: Grades that are a failed test.
FAILED = ("hazard", "late", "missed", "false alarm")

_COLUMNS = ("case", "status", "outcome", "grade", "response", "hazard", "detection", "reaction", "sentence")

#: What XML cannot hold.
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def write_verdicts(result: Any, path: Path) -> Path:
    """Raises :class:`InputError` for another ending than .xml or .json, and when it cannot be written."""
    texts = {".xml": _junit, ".json": _json}
    if path.suffix not in texts:
        raise InputError(f"{path}: must end in .xml (JUnit) or .json")
    try:
        output.write(path, texts[path.suffix](result).encode())
    except OSError as error:
        raise InputError(f"{path}: cannot be written: {error.strerror or error}") from error
    return path


def _verdicts(result: Any) -> Iterator[dict[str, Any]]:
    plan = result.plan
    columns = [*_COLUMNS, "rules_failed"]
    for batch in result.batches(columns):
        for row in batch.to_pylist():
            row["name"] = plan.design.label(plan.spec(row["case"]))
            row["failed"] = row["grade"] in FAILED or row["response"] == "uncommanded"
            yield row


def _json(result: Any) -> str:
    found = list(_verdicts(result))
    about = {
        "study": result.plan.study.title,
        "design": result.plan.design.name,
        "fingerprint": result.plan.fingerprint(),
        "headline": result.headline,
        "failed": sum(row["failed"] for row in found),
    }
    return json.dumps(about | {"cases": found}, indent=1, ensure_ascii=False)


def _junit(result: Any) -> str:
    suite = xml.Element("testsuite", name=_clean(result.plan.study.title))
    counts = dict.fromkeys(("tests", "failures", "errors", "skipped"), 0)
    for row in _verdicts(result):
        counts["tests"] += 1
        case = xml.SubElement(
            suite, "testcase", classname=result.plan.design.name, name=f"{row['case']}: {_clean(row['name'])}"
        )
        if row["status"] == "refused":
            counts["skipped"] += 1
            xml.SubElement(case, "skipped", message=_clean(row["outcome"]))
        elif row["status"] != "completed":
            counts["errors"] += 1
            xml.SubElement(case, "error", message=_clean(f"{row['status']}: {row['outcome']}"))
        elif row["failed"]:
            counts["failures"] += 1
            what = LOOKS[row["grade"] or row["response"]].word
            failure = xml.SubElement(case, "failure", message=_clean(f"{what}: {row['sentence']}"))
            failure.text = _clean(f"rules that failed: {row['rules_failed'] or 'none'}")
    suite.attrib.update({name: str(count) for name, count in counts.items()})
    root = xml.Element("testsuites")
    root.append(suite)
    xml.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + xml.tostring(root, encoding="unicode") + "\n"


def _clean(text: str) -> str:
    return _CONTROL.sub("�", text)
