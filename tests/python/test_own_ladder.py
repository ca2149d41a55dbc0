# SPDX-License-Identifier: BSD-3-Clause
"""A ladder and a table of reactions of one's own, from a study file; codes over key cycles."""

import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.studies import reader as study

STUDY = """pedals = ["half-slope-high"]
bodies = ["half-slope-six"]
learn = ["fresh"]
stroke = { time = ["0 s", "1 s", "1.5 s", "4 s"], travel = [0, 0, 0.8, 0.8] }
[[faults]]
where = "pedal.track2"
what = "offset"
amount = "-100 %"
from = "2 s"
[bench.monitor.correlation]
enabled = false
"""

OWN = """[bench.monitor.ladder.limited]
demand_limit = 0.15
slope_limit = "0 1/s"
[[bench.monitor.reactions]]
check = "range"
side = "pedal"
reaction = "limited"
"""


def run(folder, text):
    path = folder / "study.toml"
    path.write_text(text)
    loaded = study.load(path)
    case = loaded.case(loaded.pairings()[0], 0)
    return tt.run_case(case, learned=tt.run_learn(case).result, trace=True)


def test_a_table_of_ones_own_replaces_the_built_in_one(tmp_path):
    """One pedal track lost: by the built-in table the motor is off; by this one the demand ends at 15 %."""
    built_in, own = run(tmp_path, STUDY), run(tmp_path, STUDY + OWN)
    assert [code.text for code in built_in.codes] == [code.text for code in own.codes] == ["P2127-16"]
    levels = [tt.reactions()[int(r.record["reaction"][-1])] for r in (built_in, own)]
    assert levels == ["motor off", "limited"]
    assert own.final_opening == pytest.approx(0.15, abs=0.01)
    assert built_in.final_opening < 0.1


def test_an_empty_table_lets_everything_pass(tmp_path):
    result = run(tmp_path, STUDY + "[bench.monitor]\nreactions = []\n")
    assert [code.text for code in result.codes] == ["P2127-16"]
    assert max(result.record["reaction"]) == 0.0


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (OWN.replace('"range"', '"ranch"'), "did you mean 'range'"),
        (OWN.replace('"limited"', '"sleep"'), "reaction"),
        (OWN.replace("0.15", "1.5"), "demand_limit"),
    ],
)
def test_errors(wrong, message, tmp_path):
    with pytest.raises(InputError, match=message):
        run(tmp_path, STUDY + wrong)


def test_clearing_leaves_what_is_in_force_and_the_next_key_cycle_forgets(tmp_path):
    history = run(tmp_path, STUDY).history
    history.clear()
    assert [e.code.text for e in history.entries()] == ["P2127-16"], "it is in force"
    history.key_off()
    history.clear()
    assert history.entries() == []
