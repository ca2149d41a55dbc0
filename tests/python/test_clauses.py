# SPDX-License-Identifier: BSD-3-Clause
"""Every clause of the student-competition rules on an electronic throttle is a rule, or has its reason."""

from pathlib import Path

import twintrack as tt

PAGE = Path(__file__).parents[2] / "lib/study/README.md"

#: Student-competition rules 2024, version 1.0 of 1 September 2023, read in the published text.
CLAUSES = [
    "IC.4.1.1",
    "IC.4.1.2",
    "IC.3.3.2",
    "IC.3.3.3",
    "T.4.2.1",
    "T.4.2.2",
    "IC.4.4.2",
    "T.4.2.3",
    "T.4.2.4",
    "IC.4.4.3",
    "T.4.2.5",
    "IC.4.4.4",
    "T.4.2.6",
    "IC.4.4.5",
    "T.4.2.10",
    "IC.4.4.8",
    "T.4.2.11",
    "IC.4.4.9",
    "IC.4.7.1",
    "IC.4.7.2",
    "IC.4.7.3",
    "IC.4.8.3",
    "IC.4.8.5",
    "T.4.3.3",
    "T.4.3.4",
    "IC.9.2.2",
]


def table():
    """Clause -> (names of rules, why not)."""
    found = {}
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if len(cells) == 3 and cells[0].startswith(("T.", "IC.")):
            assert cells[0] not in found, f"{cells[0]} stands there twice"
            found[cells[0]] = [name.strip() for name in cells[1].split(";")], cells[2]
    return found


def student_rules():
    sets = ("student competition 2024", "student competition 2024, learned range")
    return [rule for name in sets for rule in tt.rules(name)]


def clauses(rule):
    return {part.strip().removeprefix("as ") for part in rule.clause.split(",")}


def test_every_clause_is_there_and_no_other():
    assert sorted(table()) == sorted(CLAUSES)


def test_the_table_names_the_rules_that_name_the_clause():
    for clause, (names, _) in table().items():
        assert sorted(names) == sorted(rule.name for rule in student_rules() if clause in clauses(rule)), (
            clause
        )


def test_a_clause_without_a_rule_that_can_fail_has_its_reason():
    can_fail = {rule.name for rule in student_rules() if not rule.unseen}
    for clause, (names, reason) in table().items():
        assert reason or can_fail.intersection(names), clause
    for rule in student_rules():
        reasons = {reason for names, reason in table().values() if rule.name in names}
        assert not rule.unseen or all(reasons), rule.name
