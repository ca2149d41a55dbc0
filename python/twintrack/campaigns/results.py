# SPDX-License-Identifier: BSD-3-Clause
"""The results of a campaign, read from its folder only as far as they are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from ..errors import InputError
from . import execute, sensitivity, statistics
from .plan import Plan
from .replay import Replay
from .store import Store

if TYPE_CHECKING:
    import pandas as pd
    import pyarrow as pa
    import pyarrow.dataset as ds
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

#: Cases that are looked at in one go.
_ROWS = 100_000


class Results:
    """A table of cases on the disk. ``len(results)``, ``results.columns``, ``results.to_pandas(["answer"])``.

    ``dataset`` is the same as an Arrow dataset, to be filtered, joined or read in batches by whatever reads
    those.
    """

    def __init__(self, folder: str | Path) -> None:
        self.folder = Path(folder)
        self._store = Store(self.folder)
        self.plan: Plan = self._store.plan()

    def __len__(self) -> int:
        return self._store.finished()

    def __repr__(self) -> str:
        return f"<{len(self)} cases of {self.plan.study.title!r} in {self.folder}>"

    @cached_property
    def _schema(self) -> pa.Schema:
        return execute.schema(self.plan)

    @property
    def columns(self) -> list[str]:
        """Number and seed, what was plugged in, what was drawn, what became of it."""
        return list(self._schema.names)

    @property
    def dataset(self) -> ds.Dataset:
        """The finished cases in order, as an Arrow dataset."""
        import pyarrow.dataset as ds

        paths = [str(path) for _, _, path in self._store.files()]
        return ds.dataset(paths, schema=self._schema, format="parquet")

    def to_pandas(self, columns: Sequence[str] | None = None, where: Any = None) -> pd.DataFrame:
        """A data frame indexed by case; ``where`` is an Arrow expression (``pyarrow.dataset.field("answer")
        == "unsafe"``)."""
        wanted = self.columns if columns is None else list(dict.fromkeys(["case", *columns]))
        for name in wanted:
            if name not in self.columns:
                raise InputError(
                    f"the results have no column {name!r} (there are: {', '.join(self.columns)})"
                )
        table = self.dataset.to_table(columns=wanted, filter=where).to_pandas()
        return cast("pd.DataFrame", table.set_index("case"))

    def batches(self, columns: Sequence[str] | None = None) -> Iterator[pa.RecordBatch]:
        """The cases piece by piece, in order, with flat memory."""
        return iter(self.dataset.to_batches(columns=None if columns is None else list(columns)))

    def counts(self, columns: Sequence[str]) -> pd.DataFrame:
        """How many ``cases`` there are of each combination of values; read piece by piece."""
        import pandas as pd

        names = list(columns)
        parts = [
            frame.groupby(names, as_index=False, sort=False).size().rename(columns={"size": "cases"})
            for frame in self._frames(names)
        ]
        if not parts:
            return pd.DataFrame(columns=[*names, "cases"])
        table = pd.concat(parts)
        return cast("pd.DataFrame", table.groupby(names, as_index=False, sort=False)["cases"].sum())

    def row(self, case: int) -> dict[str, Any]:
        """Everything about one case, as stored. Raises :class:`InputError` when it is not among the finished
        ones."""
        import pyarrow.parquet as pq

        for first, last, path in self._store.files():
            if first <= case < last:
                return dict(pq.read_table(path, schema=self._schema).slice(case - first, 1).to_pylist()[0])
        raise InputError(f"{self.folder}: there is no case {case}; {len(self)} are finished, numbered from 0")

    def shares(self) -> dict[str, statistics.Share]:
        """Probability of each verdict with its 95 % interval (Wilson) among completed cases; worst first."""
        return statistics.shares(self.counts(statistics.NEEDED))

    def detection_times(self) -> NDArray[np.float64]:
        """From the fault to the first trouble code [s], of the completed cases in which a fault was seen."""
        columns = ["detected_after_s", *statistics.NEEDED]
        seen = [f.loc[f["status"] == "completed", "detected_after_s"].dropna() for f in self._frames(columns)]
        return np.concatenate([np.empty(0), *seen])

    def detection(self) -> statistics.Detection | None:
        """How many faults were seen, and after which time; ``None`` without faults."""
        counts = self.counts(statistics.NEEDED)
        faulty = counts.loc[(counts["effect"] != "") & (counts["status"] == "completed"), "cases"].sum()
        return statistics.detection(self.detection_times(), int(faulty))

    def sensitivity(self, outputs: Sequence[str]) -> dict[str, pd.DataFrame]:
        """How much each parameter matters for each of these columns: PAWN and S₁.

        Columns that do not vary, or have fewer than 100 values, are left out.
        """
        table = self.thinned(sensitivity.MOST)
        table = table[table["status"] == "completed"]
        inputs = sensitivity.factors(table, self.plan.names)
        found = {name: sensitivity.indices(table, inputs, name, self.plan.seed) for name in outputs}
        return {name: indices for name, indices in found.items() if indices is not None}

    def worst(self, most: int = 20) -> pd.DataFrame:
        """The worst cases first, with everything that is stored about them."""
        import pandas as pd

        order = self._worst(lambda table: statistics.worst(table, most))
        rows = pd.DataFrame([self.row(int(number)) for number in order.index], columns=self.columns)
        return rows.set_index("case").assign(verdict=order["verdict"])

    def worst_of_each(self) -> dict[int, str]:
        """The worst case of each verdict, and the verdict; worst first."""
        order = self._worst(lambda t: statistics.worst(t, len(t)).drop_duplicates("verdict"))
        return dict(zip(order.index.tolist(), order["verdict"].tolist(), strict=True))

    def _worst(self, choose: Callable[[pd.DataFrame], pd.DataFrame]) -> pd.DataFrame:
        """The choice among all cases: that among those chosen piece by piece."""
        import pandas as pd

        columns = list(statistics.WORST)
        parts = [choose(frame)[columns] for frame in self._frames(["case", *columns])]
        return choose(pd.concat(parts) if parts else pd.DataFrame(columns=columns))

    def _frames(self, columns: Sequence[str]) -> Iterator[pd.DataFrame]:
        """The cases in order, as data frames of a size that suits; indexed by case when that is asked for."""
        import pyarrow as pa

        held: list[pa.RecordBatch] = []
        for batch in chain(self.batches(columns), [None]):
            if held and (batch is None or sum(b.num_rows for b in held) >= _ROWS):
                frame = pa.Table.from_batches(held).to_pandas()
                yield frame.set_index("case") if "case" in columns else frame
                held = []
            if batch is not None:
                held.append(batch)

    def plot(self) -> Figure:
        """The probability of each verdict with its interval."""
        from .pictures import shares_plot

        return shares_plot(self.shares())

    def thinned(self, most: int) -> pd.DataFrame:
        """All columns of at most ``most`` cases, picked by chance; what is held stays small."""
        count = self.dataset.count_rows()
        rows = np.arange(count)
        if count > most:
            rows = np.sort(np.random.default_rng(self.plan.seed).choice(count, most, replace=False))
        return cast("pd.DataFrame", self.dataset.take(rows).to_pandas().set_index("case"))

    def replay(self, case: int) -> Replay:
        """Runs one case alone in the exact engine, with the very values that are stored, and keeps its
        record."""
        return Replay(self.plan, case, self.row(case))
