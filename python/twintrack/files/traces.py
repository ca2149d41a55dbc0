# SPDX-License-Identifier: BSD-3-Clause
"""Records as tables and files: pandas, Parquet, MDF4."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd


def to_pandas(record: Any) -> pd.DataFrame:
    """One column a signal, indexed by time in seconds; ``attrs["units"]`` holds the units."""
    import pandas as pd

    index = pd.Index(record.time, name="time")
    table = pd.DataFrame({name: record[name] for name in record.names}, index=index)
    table.attrs["units"] = dict(record.units)
    return table


def about(study: str, case: str, result: Any) -> dict[str, str]:
    """What a trace file says of its case: where it is from, the verdict, and the trouble codes as JSON."""
    codes = [{"time": code.confirmed, "text": code.text, "meaning": code.meaning} for code in result.codes]
    return {"study": study, "case": case, "sentence": result.sentence, "codes": json.dumps(codes)}


def write_parquet(record: Any, path: Path, about: dict[str, str]) -> None:
    """Columns ``time`` [s] and one a signal; units and ``about`` in the schema's metadata."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    names = ["time", *record.names]
    columns = [record.time, *(record[name] for name in record.names)]
    units = {"time": "s", **dict(record.units)}
    fields = [pa.field(name, pa.float64(), metadata={"unit": units.get(name, "")}) for name in names]
    schema = pa.schema(fields, metadata={"units": json.dumps(units)} | about)
    pq.write_table(
        pa.Table.from_arrays([pa.array(c) for c in columns], schema=schema), path, compression="zstd"
    )


def write_mdf4(record: Any, path: Path, about: dict[str, str]) -> None:
    """The same as an ASAM MDF 4.10 file (needs the package asammdf)."""
    from asammdf import MDF, Signal

    units = dict(record.units)
    signals = [Signal(record[n], record.time, unit=units.get(n, ""), name=n) for n in record.names]
    with MDF(version="4.10") as file:
        file.append(signals, comment="; ".join(f"{key}: {value}" for key, value in about.items()))
        file.save(path, overwrite=True)


def read_parquet(path: Path) -> pd.DataFrame:
    """A trace written by :func:`write_parquet`, as :func:`to_pandas` gives it; also ``attrs["about"]``."""
    import pandas as pd
    import pyarrow.parquet as pq

    table = pq.read_table(path)
    frame = pd.DataFrame({name: table[name].to_numpy() for name in table.column_names}).set_index("time")
    about = {key.decode(): value.decode() for key, value in table.schema.metadata.items()}
    frame.attrs.update(units=json.loads(about.pop("units")), about=about)
    return frame
