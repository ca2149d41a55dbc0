#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""How quick the lab page is in headless Chromium without a graphics card: lab.py [PAGE]

Prints, each beside its limit: first paint, ticks a second, the time from a movement of the
pedal to its trace, and the median time between two pictures with all charts on. Needs what .ci/lab gets.
"""

import statistics
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "python"))

import lab_browser

from twintrack.lab import contents, page

TICKS = """async () => {
  const all = [];
  for (let k = 0; k < 5; ++k) {
    await lab.keyOn("stroke");
    const { ticks, seconds } = await lab.worker.ask("finish");
    all.push(ticks / seconds);
  }
  return all;
}"""

INTERACTIONS = """async () => {
  await lab.keyOn();
  const pedal = document.getElementById("pedal"), draw = lab.charts.draw.bind(lab.charts), all = [];
  for (let k = 0; k < 40; ++k) {
    await new Promise((done) => setTimeout(done, 61));
    const wanted = (10 + k) / 100, began = performance.now();
    const drawn = new Promise((done) => {
      lab.charts.draw = () => {
        draw();
        if (lab.charts.columns.last("pedal.travel") === wanted) done(performance.now());
      };
    });
    pedal.value = 100 * wanted;
    pedal.dispatchEvent(new Event("input"));
    all.push(await drawn - began);
  }
  lab.charts.draw = draw;
  return all;
}"""

FRAMES = """() => new Promise((done) => {
  const all = [];
  let last = performance.now();
  const next = (now) => {
    all.push(now - last);
    last = now;
    if (all.length < 180) requestAnimationFrame(next);
    else done(all.slice(1));
  };
  requestAnimationFrame(next);
})"""


def main() -> int:
    with tempfile.TemporaryDirectory() as folder, lab_browser.browser() as chromium:
        path = Path(folder) / "lab.html"
        path.write_text(page.page(contents.built_in()), encoding="utf-8")
        lab = lab_browser.opened(chromium, Path(sys.argv[1]).absolute() if len(sys.argv) > 1 else path)
        paint = lab.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
        print(f"page             {path.stat().st_size / 1e6:8.2f} MB, at most 3")
        print(f"first paint      {paint:8.0f} ms, at most 1000")
        print(f"ticks a second   {statistics.median(lab.evaluate(TICKS)):8.0f}, at least 100000")
        waits = lab.evaluate(INTERACTIONS)
        print(f"pedal to trace   {statistics.median(waits):8.1f} ms (longest {max(waits):.1f}), at most 50")
        print(f"between pictures {statistics.median(lab.evaluate(FRAMES)):8.1f} ms, at most 33")
    return 0


if __name__ == "__main__":
    sys.exit(main())
