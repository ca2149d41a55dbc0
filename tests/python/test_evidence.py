# SPDX-License-Identifier: BSD-3-Clause
"""Two results compared, and requirements traced to verdicts."""

import csv
import io
import json
from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.experiments import traceability
from twintrack.experiments.compare import compare

RULE = {
    "name": "blade <never> far \"open\" & free",
    "requires": "blade.opening - asked < 12 %",
    "limit": "12 %",
    "source": "our own",
    "clause": "7.1",
    "sentence": "The blade is never more than 12 % of travel beyond the foot.",
}  # fmt: skip
TABLE = {
    "pedals": ["half-slope-low", "half-slope-high"],
    "bodies": ["opposed-six"],
    "learn": ["fresh", "none"],
    "bench": {"wiring": {"kind": "ideal"}},
    "stroke": {"time": ["0 s", "0.5 s", "0.8 s", "1.5 s"], "travel": [0.0, 0.0, 0.5, 0.5]},
    "faults": [{"where": "throttle.track1", "what": "offset", "amount": -0.10, "from": "0.7 s"}],
    "rules": [RULE],
    "rule_sets": ["fault-tolerant time"],
}


def run(tmp_path, name, **changes):
    study = tt.Study.make(**json.loads(json.dumps(TABLE)) | changes)
    return study.run(tmp_path / name, progress=False)


@pytest.fixture(scope="module")
def pair(tmp_path_factory):
    path = tmp_path_factory.mktemp("compare")
    coarse = {"wiring": {"kind": "ideal"}, "monitor": {"correlation_limit": 0.4}}
    return run(path, "before"), run(path, "after", bench=coarse)


def test_a_threshold_moves_verdicts(pair):
    """By the physics: a drift of 10 % of the supply is seen by the usual monitor, and not at 40 %."""
    found = compare(*pair)
    (change,) = found.changed
    assert change[0].startswith("study.bench.monitor")
    assert found.shared == 4
    assert found.only == (0, 0)
    moved = found.moved
    assert {"codes", "reaction"} <= set(moved["what"])
    assert set(moved["case before"]) <= {0, 1}, "without a learn nothing moves"
    assert found.worse >= 2, "what was detected in time is missed now"
    assert compare(pair[0], pair[0]).moved.empty


def test_the_numbers_of_the_cases_do_not_count(pair, tmp_path):
    turned = run(tmp_path, "turned", pedals=TABLE["pedals"][::-1])
    found = compare(pair[0], turned)
    assert found.shared == 4
    assert found.moved.empty or set(found.moved["what"]) <= {"codes"}, "but noise, which is of the number"
    one = run(tmp_path, "one", pedals=["half-slope-low"])
    assert compare(pair[0], one).only == (2, 0)


def test_the_command(pair, tmp_path):
    folders = [str(result.folder) for result in pair]
    told = CliRunner().invoke(
        main, ["compare", *folders, "--out", str(tmp_path / "moved.csv"), "--fail-on-worse"]
    )
    assert told.exit_code == 3, told.output
    assert "correlation_limit" in told.output or "study.bench.monitor" in told.output
    assert len(pd.read_csv(tmp_path / "moved.csv")) == len(compare(*pair).moved)
    same = CliRunner().invoke(main, ["compare", folders[0], folders[0], "--fail-on-worse"])
    assert same.exit_code == 0
    assert "The studies are the same." in same.output
    none = CliRunner().invoke(main, ["compare", folders[0], str(tmp_path)])
    assert none.exit_code == 2
    assert "no results here" in none.output


def test_csv_has_a_row_for_each_rule_and_case(pair, tmp_path):
    path = traceability.write(pair[0], tmp_path / "r.csv")
    rows = list(csv.DictReader(io.StringIO(path.read_text())))
    assert tuple(rows[0]) == traceability.HEAD
    assert len(rows) == len(pair[0].verdicts()) == 4 * 2
    mine = [row for row in rows if row["rule"] == RULE["name"]]
    assert {row["clause"] for row in mine} == {"7.1"}
    assert [row["verdict"] for row in mine] == list(pair[0].to_pandas([f"rule: {RULE['name']}"]).iloc[:, 0])
    assert {row["fingerprint"] for row in rows} == {pair[0].plan.fingerprint()}
    command = mine[0]["replay"].split()
    assert command[:2] == ["twintrack", "show"]
    assert CliRunner().invoke(main, [*command[1:], "--out", str(tmp_path)]).exit_code == 0


def test_reqif_is_read_by_another_library(pair, tmp_path):
    """reqif (Apache-2.0) reads the file; objects, relations and the tree are what was written."""
    pytest.importorskip("reqif", reason="the package reqif is not installed")
    from reqif.parser import ReqIFParser

    path = traceability.write(pair[1], tmp_path / "r.reqif")
    bundle = ReqIFParser.parse(str(path))
    assert not bundle.exceptions
    content = bundle.core_content.req_if_content
    objects = {o.identifier: o for o in content.spec_objects}
    names = {t.identifier: t.long_name for t in content.spec_types}
    kinds = [names[o.spec_object_type] for o in content.spec_objects]
    assert kinds.count("requirement") == kinds.count("rule") == 2
    verdicts = pair[1].verdicts()
    failed = int((verdicts["finding"] == "failed").sum())
    assert kinds.count("verdict") >= max(failed, 1)
    assert len(content.spec_relations) == 2 + kinds.count("verdict")
    for relation in content.spec_relations:
        assert {relation.source, relation.target} <= set(objects)
    (tree,) = content.specifications
    levels = [node.level for node in bundle.iterate_specification_hierarchy(tree)]
    assert max(levels) == 3, "requirement, rule, verdict"
    texts = [a.value for o in content.spec_objects for a in o.attributes]
    assert RULE["name"] in texts, "characters of XML survive"
    assert path.read_text() == traceability.write(pair[1], tmp_path / "again.reqif").read_text()


def test_reqif_keeps_to_the_schema(pair, tmp_path):
    """The schema of the OMG, as the package reqif brings it along."""
    reqif = pytest.importorskip("reqif", reason="the package reqif is not installed")
    xmlschema = pytest.importorskip("xmlschema", reason="the package xmlschema is not installed")
    folder = Path(reqif.__file__).parent / "reqif_schema"
    schema = xmlschema.XMLSchema(str(folder / "reqif.xsd"), allow="local", defuse="never")
    path = traceability.write(pair[1], tmp_path / "r.reqif")
    schema.validate(str(path))
    broken = path.read_text().replace("SPEC-OBJECT-TYPE-REF", "SPEC-OBJECT-KIND-REF")
    (tmp_path / "broken.reqif").write_text(broken)
    assert not schema.is_valid(str(tmp_path / "broken.reqif"))


def test_bad_input(pair, tmp_path):
    with pytest.raises(InputError, match=r"must end in \.csv or \.reqif"):
        traceability.write(pair[0], tmp_path / "r.txt")
    bare = run(tmp_path, "bare", rules=[], rule_sets=[])
    with pytest.raises(InputError, match="has no rules"):
        traceability.write(bare, tmp_path / "r.csv")
