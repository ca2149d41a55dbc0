# SPDX-License-Identifier: BSD-3-Clause
"""A bench as an FMU in another simulation program, and a controller as an FMU back on our bench.

The other program here is FMPy (``pip install 'twintrack[fmi]'``), a general-purpose importer. The files need
nothing of ours where they are used (Linux on x86-64).

Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
"""

import fmpy
import numpy as np

import twintrack as tt

bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
assert bench.learn().accepted
ours = bench.run()

# Out: the whole bench, simulated by the importer; with the foot of the study and with another one.
whole = tt.export_fmu(bench, "bench.fmu", version=3)
end = float(ours.record.time[-1])
theirs = fmpy.simulate_fmu(
    str(whole), stop_time=end, output_interval=1e-3, output=["asked", "blade.opening", "codes"]
)
print("the same to the bit:", np.array_equal(theirs["blade.opening"], ours.record["blade.opening"]))
fault = {"fault.pedal.track1.offset.active": True, "fault.pedal.track1.offset.amount": 0.1}
faulty = fmpy.simulate_fmu(
    str(whole), stop_time=2.0, output_interval=1e-3, output=["blade.opening", "code_count"], start_values=fault
)
print(f"with a fault: {faulty['code_count'][-1]} codes, blade at {faulty['blade.opening'][-1]:.1%}")

# Back: a controller from elsewhere drives our bench; here it is the built-in one, exported.
path = tt.export_fmu(bench, "controller.fmu", kind="controller")
controller = tt.FmuController(str(path))(bench.learned, bench.parameters, 0.001)
back = bench.run(controller=controller)
print("driven by the FMU, the same to the bit:", np.array_equal(back.record["duty"], ours.record["duty"]))

# In every case of a study:  twintrack run STUDY --unit controller.fmu --out results
study = tt.Study.make(pedals=["half-slope-low"], bodies=["opposed-six"], learn=["fresh"])
print(study.run(unit="controller.fmu", progress=False).to_pandas()[["response", "grade", "codes"]])
