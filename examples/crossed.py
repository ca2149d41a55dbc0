# SPDX-License-Identifier: BSD-3-Clause
"""A pair of wires crossed in a new harness: the plan before, the symptom, three measurements, the cause.

A story with invented parts. The "real" pair is simulated: one draw of the tolerances, with two contacts
exchanged that the diagnosis is not told of.

Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself. The motor's leads are
off at the controller while volts are measured.
"""

import numpy as np

import twintrack as tt
from twintrack.tolerances.usual import drawn, usual

bench = tt.Bench(pedal="half-slope-low", body="opposed-six")

print("1. The plan says what to wire, and what each pin should show.\n")
plan = bench.wiring.plan()
print(plan, "\n")
print(plan.volts().query("stand == 'at rest'")[["pin", "nominal_v"]].to_string(index=False), "\n")
plan.write("crossed-plan")  # plan.html, plan.svg for one A4 page, tables

print("2. The harness was made, and the throttle does not answer.\n")
(real,) = drawn(bench.parameters, usual(bench.parameters), 1, seed=7)
disturbed_learn = tt.Fault(where="pedal signal 1", what="exchange", other="pedal signal 2")
pair = tt.Bench(pedal=real.pedal, body=real.body, supply=real.supply)
assert pair.learn().accepted  # learned before the new harness came
run = pair.run(faults=[disturbed_learn])
codes = [code.code for code in run.codes]
print("trouble codes in their order:", codes, "\n")

print("3. What to measure next, until one cause is left.\n")
interview = tt.diagnose(bench, {"codes": codes, "follows": "none"}, cache="crossed-plan")
points, rng = tt.meter_points(real), np.random.default_rng(1)
stands = {"rest": (0.0, "released"), "half": (0.5, "released"), "full": (1.0, "released")}
while interview.question is not None:
    wanted = interview.question.reading
    print(interview.question)
    if wanted.kind == "volts":  # a meter, 0.5 % + 5 mV
        volts = tt.standing_volts(
            real, faults=[disturbed_learn], stands=[stands.get(wanted.stand, (0.0, wanted.stand))]
        )[0]
        value = volts[points.index(wanted.a)]
        if wanted.b in points:
            value -= volts[points.index(wanted.b)]
        value += (0.005 * abs(value) + 0.005) * rng.uniform(-1, 1)
        told = f"{value:.3f} V"
    elif wanted.kind == "ohms":
        (value,) = tt.unplugged_ohms(real, faults=[disturbed_learn], pairs=[(wanted.a, wanted.b)])
        told = "open" if value > 20e6 else f"{value:.2f} ohm"
    else:
        interview.skip()
        continue
    print(f"  it shows: {told}\n")
    interview.tell(told)

print("4. A third one before anything is mended: unplugged, from end to end.\n")
wire = ("pedal signal 1", "pin pedal signal 1")
(ohms,) = tt.unplugged_ohms(real, faults=[disturbed_learn], pairs=[wire])
told = "open" if ohms > 20e6 else f"{ohms:.2f} ohm"
print(f"ohms between {wire[0]} and {wire[1]}: {told}\n")
interview.add({"ohms": [{"between": wire, "reads": told}]})

print("5. The cause.\n")
print(interview.response)
assert disturbed_learn.text in interview.response.best.causes
