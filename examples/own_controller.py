# SPDX-License-Identifier: BSD-3-Clause
"""A controller of one's own in place of the built-in one: any object with ``step(ControlInput) -> Command``.

This one is a bare proportional loop, with no integral and no feed-forward, so springs and friction keep it
from where it wants to be; the monitor sees the deviation and takes the motor's power away. A controller
written in Python is called a thousand times a simulated second: for campaigns write it in C++
(own_controller.cpp).

Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
"""

import twintrack as tt


class ProportionalController:
    """Duty in proportion to the distance between pedal and blade, both by their first track."""

    def __init__(self, learned: tt.LearnedRange, gain: float = 2.0) -> None:
        self.pedal = learned.pedal[0].curve[[0, -1]]  # readings at rest and at full
        self.throttle = learned.throttle[0].curve[[0, -1]]  # readings at the two stops
        self.gain = gain

    def step(self, seen: tt.ControlInput) -> tt.Command:
        pedal = (seen.pedal[0] - self.pedal[0]) / (self.pedal[1] - self.pedal[0])
        opening = (seen.throttle[0] - self.throttle[0]) / (self.throttle[1] - self.throttle[0])
        duty = min(max(self.gain * (pedal - opening), -0.9), 0.9)
        mode = "drive" if seen.motor_permitted else "high_impedance"
        return tt.Command(mode=mode, duty=duty, pedal=pedal, demand=pedal, set_point=pedal, opening=opening)


def make(
    learned: tt.LearnedRange | None, _bench: tt.BenchParameters, _period: float
) -> ProportionalController:
    """A controller for each case: ``twintrack run STUDY --unit own_controller:make``."""
    if learned is None:
        raise ValueError("this controller needs a learned range")
    return ProportionalController(learned)


if __name__ == "__main__":
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    learn = bench.learn()
    assert learn.accepted, learn.reason
    run = bench.run(controller=ProportionalController(learn.range))
    print(run.to_pandas()[["asked", "blade.opening", "duty"]].iloc[::500])
    print(run.codes)

    # The same in every case of an experiment: each learn state of one pair, in a folder of its own.
    study = tt.Study.make(pedals=["half-slope-low"], bodies=["opposed-six"], learn=["fresh"])
    print(study.run(unit=make, progress=False).to_pandas()[["response", "grade", "codes"]])
