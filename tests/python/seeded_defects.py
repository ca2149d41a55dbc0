# SPDX-License-Identifier: BSD-3-Clause
"""Ten typical bugs, each as one change of text in a copy of ``examples/own_controller.c``."""

import subprocess
from pathlib import Path

TOP = Path(__file__).parents[2]
SOURCE = TOP / "examples" / "own_controller.c"

#: What is written, and what is written in its place.
DEFECTS = {
    "sign": ("error = demand - opening;", "error = opening - demand;"),
    "saturation": ("out->duty = clamp(duty, -most_duty, most_duty);", "out->duty = duty;"),
    "wind_up": (
        "if ((duty < most_duty || error < 0.0) && (duty > -most_duty || error > 0.0)) /* no wind-up at the "
        "limits */\n"
        "        c->integral = clamp(c->integral + ki * error * c->period, -most_integral, most_integral);",
        "c->integral = clamp(c->integral + ki * error * c->period, -9 * most_integral, 9 * most_integral);",
    ),
    "wrong_track": (
        "opening = position(in->throttle[0], c->throttle[0]);",
        "opening = position(in->throttle[1], c->throttle[0]);",
    ),
    "missed_debounce": ("c->throttle_apart > apart_time) c->stopped", "c->throttle_apart > 0.0) c->stopped"),
    "off_by_one": (
        "c->throttle[k][1] = learned->throttle[k][TWINTRACK_KNOTS - 1];",
        "c->throttle[k][1] = learned->throttle[k][TWINTRACK_KNOTS - 2];",
    ),
    "unit_mix_up": ("c->period = period;", "c->period = 1000.0 * period;"),  # milliseconds
    "stale_sample": (
        "const double opening = position(in->throttle[0], c->throttle[0]);",
        "const double opening =\n"
        "        c->age++ % 12 ? c->held : (c->held = position(in->throttle[0], c->throttle[0]));",
    ),
    "lost_latch": (
        "if (c->pedal_apart > apart_time || c->throttle_apart > apart_time) c->stopped = 1;",
        "c->stopped = c->pedal_apart > apart_time || c->throttle_apart > apart_time;",
    ),
    "dead_band": (
        "error = demand - opening;",
        "error = demand - opening;\n    if (error < 0.05 && error > -0.05) error = 0.0;",
    ),
}

#: Members that a defect needs.
_MORE = {"stale_sample": ("int running, stopped;", "int running, stopped, age;\n    double held;")}


def build(folder: Path, name: str = "healthy", compiler: str = "cc", text: str | None = None) -> Path:
    """The shared object of the example or of another text, or of its copy with one defect."""
    text = SOURCE.read_text() if text is None else text
    for old, new in (change for change in (DEFECTS.get(name), _MORE.get(name)) if change):
        assert text.count(old) == 1, f"{name}: the example no longer says {old!r}"
        text = text.replace(old, new)
    source = folder / f"{name}.c"
    source.write_text(text)
    made = source.with_suffix(".so")
    words = [
        compiler,
        "-std=c99",
        "-O2",
        "-Wall",
        "-Wextra",
        "-Werror",
        "-pedantic",
        "-shared",
        "-fPIC",
        "-I",
    ]
    words += [str(TOP / "include"), "-o", str(made), str(source)]
    subprocess.run(words, check=True, capture_output=True, text=True)
    return made
