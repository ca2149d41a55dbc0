# SPDX-License-Identifier: BSD-3-Clause
"""Writes a functional mock-up unit: description, shared object, resources and a page, zipped."""

from __future__ import annotations

import hashlib
import html
import json
import zipfile
from pathlib import Path
from typing import Any

from .. import __version__, _core
from ..bench import Bench
from ..cautions import CAUTIONS
from ..errors import InputError
from . import document as documents
from .description import IDENTIFIER, Model, description

#: Folder of the shared object in the file: Linux on x86-64.
_PLATFORM = {2: "linux64", 3: "x86_64-linux"}

_MEANING = {
    "bench": "Electronic throttle control: foot in, blade, pins, readings and trouble codes out",
    "plant": "Pedal, wiring, bridge and throttle body without controller: duty in, readings out",
    "controller": "The built-in throttle controller: readings in, duty out",
}


def export_fmu(
    source: Bench | str | Path,
    path: str | Path,
    *,
    kind: str = "bench",
    version: int = 2,
    case: int = 0,
    stroke: _core.Stroke | None = None,
) -> Path:
    """Writes ``path``, an FMU for co-simulation (FMI ``version`` 2 or 3), and returns it.

    ``source``: a :class:`Bench` with what it has learned and a ``stroke``, or a study file and the number of
    its ``case``. ``kind``: ``"bench"``, ``"plant"`` (duty in, readings out) or ``"controller"`` (readings in,
    duty out). Raises :class:`InputError`.

    Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real
    throttle: engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
    """
    if isinstance(source, Bench):
        values = documents.of_bench(source, kind, stroke)
    else:
        values = documents.of_study(source, kind, case)
    return write(values, Path(path), version)


def write(values: dict[str, Any], path: Path, version: int) -> Path:
    """The file of a document; the same bytes each time."""
    if version not in _PLATFORM:
        raise InputError(f"FMI version {version}: allowed are 2 and 3")
    text = json.dumps(values, allow_nan=False, sort_keys=True)
    token = hashlib.sha256(f"{__version__} {text}".encode()).hexdigest()[:32]
    text = json.dumps(values | {"token": token}, allow_nan=False, indent=1)
    bench = values["bench"]
    model = Model(
        name=f"{values['kind']} of {bench['pedal']['name']} with {bench['body']['name']}",
        meaning=_MEANING[values["kind"]],
        token=token,
        variables=_core.external_variables(text),
        stop=float(values["stroke"]["time"][-1]),
        period=float(bench["control_period"]),
    )
    parts = {
        "modelDescription.xml": description(model, version),
        f"binaries/{_PLATFORM[version]}/{IDENTIFIER}.so": shared_object().read_bytes(),
        "resources/bench.json": text.encode(),
        "documentation/index.html": _page(model).encode(),
    }
    try:
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
            for name, content in parts.items():
                file.writestr(_entry(name), content)
    except OSError as error:
        raise InputError(f"{path}: cannot be written: {error.strerror or error}") from error
    return path


def shared_object() -> Path:
    """What every FMU holds. Raises :class:`InputError` where the package was built without it."""
    path = Path(_core.__file__).with_name("libtwintrack_fmu.so")
    if not path.is_file():
        raise InputError(f"{path}: is not there; FMUs are made on Linux, by an installed package")
    return path


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name)  # its time is 1980: the same bytes each time
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry.external_attr = 0o644 << 16
    return entry


def _page(model: Model) -> str:
    cautions = "".join(f"<li>{html.escape(c)}</li>" for c in CAUTIONS)
    return (
        f"<!DOCTYPE html><html lang='en'><meta charset='utf-8'><title>{html.escape(model.name)}</title>"
        f"<h1>{html.escape(model.name)}</h1><p>{html.escape(model.meaning)}.</p><ul>{cautions}</ul></html>\n"
    )
