# SPDX-License-Identifier: BSD-3-Clause
"""A monitor of one's own in place of the built-in one, in every fault of an audit.

    twintrack run examples/audit.toml --unit monitor=own_monitor:make --out own

It is the built-in monitor with one check more: a pedal that is pressed while the driver brakes hard takes
motor and fuel at once. What it wraps is made by ``tt.make_monitor``; a range learn is replaced likewise
(``learn=module:factory``, ``tt.make_learn``).

Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
"""

import twintrack as tt


class BrakeFirst:
    """``step(ControlInput, Command of the tick before)`` to a :class:`MonitorAnswer`."""

    def __init__(self, learned: tt.LearnedRange | None, bench: tt.BenchParameters, _period: float) -> None:
        self.built_in = tt.make_monitor(bench, learned)

    def step(self, seen: tt.ControlInput, last: tt.Command) -> tt.MonitorAnswer:
        answer: tt.MonitorAnswer = self.built_in.step(seen, last)
        if not (seen.brake_hard and last.pedal > 0.25):
            return answer
        orders = tt.Action(demand_limit=0.0, motor_permitted=False, fuel_permitted=False)
        return answer._replace(
            reaction="engine off", orders=orders, codes=[*answer.codes, "OWN: brake first"]
        )


def make(learned: tt.LearnedRange | None, bench: tt.BenchParameters, period: float) -> BrakeFirst:
    """A monitor for each case."""
    return BrakeFirst(learned, bench, period)


if __name__ == "__main__":
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    foot = tt.Stroke(time=[0.0, 0.5, 0.7, 3.0], travel=[0.0, 0.0, 0.6, 0.6])
    brake = tt.Stroke(time=[0.0, 1.5, 1.6, 3.0], travel=[0.0, 0.0, 1.0, 1.0])
    session = bench.session(foot, monitor=make, brake=brake)
    while session.time < 3.0:
        last = session.step()
    print(session.codes, last.reaction, f"blade at {last.blade_opening:.1%}")
    assert "OWN: brake first" in [code.text for code in session.codes]

    # One fault of a pair in a study, watched by it.
    study = tt.Study.make(
        design="audit",
        pedals=["half-slope-low"],
        bodies=["opposed-six"],
        audit={"setups": ["default"], "instants": ["part load"]},
    )
    table = study.run(unit={"monitor": make}, cases=3, progress=False).to_pandas()
    print(table[["fault", "grade", "codes", "reaction"]])
