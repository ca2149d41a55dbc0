# SPDX-License-Identifier: BSD-3-Clause
"""From requirement to rule to cases to verdict to replay, for other programs: CSV, or ReqIF.

CSV has a row for each rule and case. ReqIF (OMG, Requirements Interchange Format 1.2, formal/16-07-01) has an
object for each requirement, for its rule, and for each case that failed it or came nearest to it; relations
lead from verdict to rule to requirement. Identifiers follow from the content, so a second export of the same
is the same.
"""

from __future__ import annotations

import csv
import hashlib
import io
import math
import xml.etree.ElementTree as xml
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from .. import _core
from ..errors import InputError
from ..files import output
from ..rulebooks import margin as margins
from ..rulebooks.text import text_of
from .result import Result
from .store import MANIFEST

HEAD = (
    *("requirement", "source", "clause", "sentence", "basis", "rule", "applies", "requires", "limit"),
    *("case", "what", "verdict", "margin", "when_s", "solver", "replay", "fingerprint", "twintrack"),
)

_NAMESPACE = "http://www.omg.org/spec/ReqIF/20110401/reqif.xsd"

#: Attributes of each type of object.
_TYPES = {
    "requirement": ("source", "clause", "sentence", "basis"),
    "rule": ("name", "applies", "requires", "limit", "verdict"),
    "verdict": ("case", "what", "verdict", "margin", "when_s", "replay", "fingerprint", "twintrack"),
}


def write(result: Result, path: Path) -> Path:
    """Raises :class:`InputError` for another ending than .csv or .reqif, without rules, and when it cannot be
    written."""
    texts = {".csv": _csv, ".reqif": _reqif}
    if path.suffix not in texts:
        raise InputError(f"{path}: must end in .csv or .reqif")
    if not rules_of(result):
        raise InputError(f"{result.folder}: the study has no rules; name 'rule_sets' or write [[rules]]")
    try:
        output.write(path, texts[path.suffix](result).encode())
    except OSError as error:
        raise InputError(f"{path}: cannot be written: {error.strerror or error}") from error
    return path


def rules_of(result: Result) -> list[_core.Rule]:
    """All rules that its cases were judged against."""
    return [*result.plan.design.more_rules, *result.plan.design.rules]


def _requirement(rule: _core.Rule) -> str:
    return ", ".join(filter(None, (rule.set, rule.clause))) or rule.name


def rows(result: Result) -> Iterator[dict[str, Any]]:
    """One a rule and case, by :data:`HEAD`."""
    plan, rules = result.plan, rules_of(result)
    columns = ["case", "solver", *(f"{kind}: {r.name}" for r in rules for kind in ("rule", "margin", "when"))]
    fingerprint = plan.fingerprint()
    for batch in result.batches(columns):
        for row in batch.to_pylist():
            case = row["case"]
            what = plan.design.label(plan.spec(case))
            for rule in rules:
                finding = row[f"rule: {rule.name}"]
                if not finding:
                    continue
                margin, when = row[f"margin: {rule.name}"], row[f"when: {rule.name}"]
                yield {
                    **_of_rule(rule),
                    "case": case,
                    "what": what,
                    "verdict": finding,
                    "margin": margins.of_rule(margin, rule),
                    "share": margin,
                    "when_s": "" if math.isnan(when) else when,
                    "solver": row["solver"],
                    "replay": f"twintrack show {result.folder} {case}",
                    "fingerprint": fingerprint,
                    "twintrack": _core.__version__,
                }


def _of_rule(rule: _core.Rule) -> dict[str, Any]:
    return {
        "requirement": _requirement(rule),
        "source": rule.source,
        "clause": rule.clause,
        "sentence": rule.sentence,
        "basis": rule.basis,
        "rule": rule.name,
        "name": rule.name,
        "applies": text_of(rule.applies),
        "requires": text_of(rule.requires),
        "limit": f"{rule.scale:g} {rule.unit}".strip(),
    }


def _csv(result: Result) -> str:
    file = io.StringIO()
    writer = csv.DictWriter(file, HEAD, extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows(result))
    return file.getvalue()


def _shown(result: Result) -> dict[str, list[dict[str, Any]]]:
    """Of each rule the cases that failed it, and the one that came nearest."""
    found: dict[str, list[dict[str, Any]]] = {rule.name: [] for rule in rules_of(result)}
    nearest: dict[str, dict[str, Any]] = {}
    for row in rows(result):
        if row["verdict"] == "failed":
            found[row["rule"]].append(row)
        best = nearest.get(row["rule"])
        if row["verdict"] == "passed" and (best is None or row["share"] < best["share"]):
            nearest[row["rule"]] = row
    for name, row in nearest.items():
        if not found[name]:
            found[name].append(row)
    return found


def _identifier(*parts: Any) -> str:
    return "_" + hashlib.sha256("\n".join(map(str, parts)).encode()).hexdigest()[:24]


class _Writer:
    """Elements of a ReqIF file; every one has an identifier and the time of the results."""

    def __init__(self, time: str) -> None:
        self.time = time
        self.known: set[str] = set()
        self.root = xml.Element("REQ-IF", xmlns=_NAMESPACE)

    def made(
        self, parent: xml.Element, tag: str, identifier: str, name: str = "", **more: str
    ) -> xml.Element:
        attributes = {"IDENTIFIER": identifier, "LAST-CHANGE": self.time}
        attributes |= {"LONG-NAME": name} if name else {}
        return xml.SubElement(parent, tag, {**attributes, **more})

    def refer(self, parent: xml.Element, role: str, tag: str, identifier: str) -> None:
        xml.SubElement(xml.SubElement(parent, role), tag).text = identifier


def _reqif(result: Result) -> str:
    stamp = (result.folder / MANIFEST).stat().st_mtime
    file = _Writer(datetime.fromtimestamp(stamp, UTC).strftime("%Y-%m-%dT%H:%M:%S+00:00"))
    _header(file, result)
    content = xml.SubElement(xml.SubElement(file.root, "CORE-CONTENT"), "REQ-IF-CONTENT")
    _types(file, content)
    objects, relations = xml.SubElement(content, "SPEC-OBJECTS"), xml.SubElement(content, "SPEC-RELATIONS")
    specifications = xml.SubElement(content, "SPECIFICATIONS")
    whole = file.made(
        specifications, "SPECIFICATION", _identifier(result.plan.fingerprint()), result.plan.study.title
    )
    file.refer(whole, "TYPE", "SPECIFICATION-TYPE-REF", _identifier("type", "specification"))
    children = xml.SubElement(whole, "CHILDREN")
    shown = _shown(result)
    for rule in rules_of(result):
        _rule(file, rule, shown[rule.name], (objects, relations, children))
    xml.indent(file.root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + xml.tostring(file.root, encoding="unicode") + "\n"


def _header(file: _Writer, result: Result) -> None:
    header = xml.SubElement(
        xml.SubElement(file.root, "THE-HEADER"),
        "REQ-IF-HEADER",
        IDENTIFIER=_identifier("header", result.plan.fingerprint()),
    )
    for tag, text in (
        ("COMMENT", "Verdicts of a simulation, which is no proof of safety."),
        ("CREATION-TIME", file.time),
        ("REQ-IF-TOOL-ID", f"twintrack {_core.__version__}"),
        ("REQ-IF-VERSION", "1.0"),
        ("SOURCE-TOOL-ID", f"twintrack {_core.__version__}"),
        ("TITLE", result.plan.study.title),
    ):
        xml.SubElement(header, tag).text = text


def _types(file: _Writer, content: xml.Element) -> None:
    text = _identifier("text")
    types = xml.SubElement(content, "DATATYPES")
    file.made(types, "DATATYPE-DEFINITION-STRING", text, "text", **{"MAX-LENGTH": "32000"})
    specs = xml.SubElement(content, "SPEC-TYPES")
    for name, attributes in _TYPES.items():
        made = file.made(specs, "SPEC-OBJECT-TYPE", _identifier("type", name), name)
        of = xml.SubElement(made, "SPEC-ATTRIBUTES")
        for attribute in attributes:
            one = file.made(of, "ATTRIBUTE-DEFINITION-STRING", _identifier(name, attribute), attribute)
            file.refer(one, "TYPE", "DATATYPE-DEFINITION-STRING-REF", text)
    for name in ("satisfies", "judges"):
        file.made(specs, "SPEC-RELATION-TYPE", _identifier("type", name), name)
    file.made(specs, "SPECIFICATION-TYPE", _identifier("type", "specification"), "requirements and verdicts")


Places = tuple[xml.Element, xml.Element, xml.Element]


def _rule(file: _Writer, rule: _core.Rule, cases: Sequence[dict[str, Any]], places: Places) -> None:
    objects, relations, children = places
    verdict = cases[0]["verdict"] if cases else "not applicable"
    values = {**_of_rule(rule), "verdict": verdict}
    required = _identifier("requirement", rule.source, rule.clause, rule.sentence)
    own = _identifier("rule", rule.name, values["applies"], values["requires"])
    _object(file, objects, "requirement", required, values["requirement"], values)
    _object(file, objects, "rule", own, rule.name, values)
    _relation(file, relations, "satisfies", own, required)
    below = _node(file, children, required)
    inside = _node(file, below, own)
    for row in cases:
        one = _identifier("verdict", row["fingerprint"], rule.name, row["case"])
        _object(file, objects, "verdict", one, f"case {row['case']}: {row['verdict']}", row)
        _relation(file, relations, "judges", one, own)
        _node(file, inside, one)


def _object(
    file: _Writer, objects: xml.Element, kind: str, identifier: str, name: str, values: dict[str, Any]
) -> None:
    if identifier in file.known:
        return  # two rules of one sentence
    file.known.add(identifier)
    made = file.made(objects, "SPEC-OBJECT", identifier, name)
    of = xml.SubElement(made, "VALUES")
    for attribute in _TYPES[kind]:
        value = xml.SubElement(of, "ATTRIBUTE-VALUE-STRING", {"THE-VALUE": str(values[attribute])})
        file.refer(value, "DEFINITION", "ATTRIBUTE-DEFINITION-STRING-REF", _identifier(kind, attribute))
    file.refer(made, "TYPE", "SPEC-OBJECT-TYPE-REF", _identifier("type", kind))


def _relation(file: _Writer, relations: xml.Element, kind: str, source: str, target: str) -> None:
    made = file.made(relations, "SPEC-RELATION", _identifier(kind, source, target))
    file.refer(made, "TARGET", "SPEC-OBJECT-REF", target)
    file.refer(made, "SOURCE", "SPEC-OBJECT-REF", source)
    file.refer(made, "TYPE", "SPEC-RELATION-TYPE-REF", _identifier("type", kind))


def _node(file: _Writer, children: xml.Element, identifier: str) -> xml.Element:
    node = file.made(children, "SPEC-HIERARCHY", _identifier("node", identifier, len(children)))
    file.refer(node, "OBJECT", "SPEC-OBJECT-REF", identifier)
    return xml.SubElement(node, "CHILDREN")
