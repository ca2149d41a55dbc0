# SPDX-License-Identifier: BSD-3-Clause
"""The page's core gives the bits of the native exact solver: pairs learn and run in Chromium."""

import zlib

import lab_browser
import pytest

from twintrack import _core
from twintrack.lab import contents, page
from twintrack.parts import catalogue as parts
from twintrack.parts import engines

pytestmark = lab_browser.needed

#: In the page: the worker learns, runs the stroke and answers with the checksums of all columns.
RUN = """async ([pedal, body]) => {
  const checksum = (column) => {
    const bytes = new Uint8Array(column.buffer, column.byteOffset, column.byteLength);
    let crc = ~0;
    for (const byte of bytes) crc = (crc >>> 8) ^ table[(crc ^ byte) & 255];
    return ~crc >>> 0;
  };
  const table = Int32Array.from({ length: 256 }, (_, n) => {
    for (let k = 0; k < 8; ++k) n = n & 1 ? (n >>> 1) ^ 0xedb88320 : n >>> 1;
    return n;
  });
  const { pedals, bodies, stroke } = lab.contents;
  const bench = { ...lab.contents.bench, pedal: pedals[pedal].values, body: bodies[body].values };
  const all = {};
  const run = async (kind, given) => {
    await lab.worker.ask("begin", { number: lab.number, kind, given, actions: [], show: [], paused: true });
    await lab.worker.ask("finish");
    const { names, columns } = await lab.worker.ask("everything");
    names.forEach((name, k) => { all[`${kind} ${name}`] = checksum(columns[k]); });
  };
  await run("learn", { bench });
  await new Promise((done) => setTimeout(done));
  await run("run", { bench, stroke, brake: true, learned: lab.learned });
  return all;
}"""


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    path = tmp_path_factory.mktemp("lab") / "lab.html"
    path.write_text(page.page(contents.built_in()), encoding="utf-8")
    with lab_browser.browser() as chromium:
        yield lab_browser.opened(chromium, path)


def checksums(kind, record):
    found = {f"{kind} time": zlib.crc32(record.time.tobytes())}
    found.update({f"{kind} {name}": zlib.crc32(record[name].tobytes()) for name in record.names})
    return found


def native(pedal, body):
    bench = _core.BenchParameters(
        pedal=parts.pedal(pedal), body=parts.body(body), engine=next(iter(engines.engines().values()))
    )
    learned = _core.learn(bench)
    stroke = _core.Stroke.rest_half_full_rest()
    rest = _core.Stroke(time=[0.0, 1.0], travel=[0.0, 0.0])
    run = _core.run(bench, stroke, learned=learned.range, brake=rest)
    return {**checksums("learn", learned.record), **checksums("run", run.record)}


@pytest.mark.parametrize("pedal", parts.pedals())
def test_every_built_in_pair(lab, pedal):
    for body in parts.bodies():
        wanted, found = native(pedal, body), lab.evaluate(RUN, [pedal, body])
        assert found == wanted, (pedal, body, [name for name in wanted if found.get(name) != wanted[name]])
    assert lab.failures == []
