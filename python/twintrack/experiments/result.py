# SPDX-License-Identifier: BSD-3-Clause
"""What an experiment gave, read from its folder only as far as it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from .. import _core
from ..errors import InputError
from ..studies import own_controller
from . import chunk, sensitivity, statistics
from .learns import Learns
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


class Result:
    """A table of cases on the disk. ``len(result)``, ``result.columns``, ``result.to_pandas(["grade"])``.

    ``dataset`` is the same as an Arrow dataset, to be filtered, joined or read in batches by whatever reads
    those.
    """

    def __init__(self, folder: str | Path, unit: Any = None) -> None:
        """``unit``: of one's own with which it was run, to replay cases; as for :meth:`Study.run`."""
        self.folder = Path(folder)
        self._store = Store(self.folder)
        self.plan: Plan = self._store.plan()
        units = own_controller.units(unit)
        for role, one in units.items():
            if role not in self.plan.study.units:
                raise InputError(f"{self.folder}: was run with the built-in {role}, not with {one.name!r}")
        self.plan = self.plan.with_units(units)
        self.interrupted = False  #: by Ctrl-C, in the call that gave this

    def __len__(self) -> int:
        return self._store.finished()

    def __repr__(self) -> str:
        return f"<{len(self)} cases of {self.plan.study.title!r} in {self.folder}>"

    @cached_property
    def _schema(self) -> pa.Schema:
        return chunk.schema(self.plan)

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

    @cached_property
    def table(self) -> pd.DataFrame:
        """All cases, with the columns that follow from several of them together."""
        return self.plan.design.judge(self.to_pandas())

    def to_arrow(self) -> pa.Table:
        """All cases as an Arrow table."""
        return self.dataset.to_table()

    def verdicts(self) -> pd.DataFrame:
        """One row a case and rule: ``finding``, ``margin`` as a share of the rule's limit, ``when_s``."""
        import pandas as pd

        parts = {}
        for rule in [*self.plan.design.more_rules, *self.plan.design.rules]:
            names = [f"{kind}: {rule.name}" for kind in ("rule", "margin", "when")]
            part = self.to_pandas(names).set_axis(["finding", "margin", "when_s"], axis=1)
            parts[rule.name] = part[part["finding"] != ""]
        if not parts:
            return pd.DataFrame(columns=["finding", "margin", "when_s"])
        return pd.concat(parts, names=["rule"]).reset_index("rule")

    def _repr_html_(self) -> str:
        """For notebooks: the answer, and the first cases."""
        from ..pages import cards

        few = self.to_pandas(list(self.columns)).head(10)
        return cards.result(self.plan.study.title, self.headline, few, len(self), str(self.folder))

    @property
    def counterexample(self) -> Path | None:
        """The study file of the smallest counterexample of a search, if it found one."""
        from . import counterexample

        return counterexample.path_of(self.folder)

    def counterexample_text(self) -> list[str] | None:
        """What the smallest counterexample is, in paragraphs."""
        from . import counterexample

        return counterexample.told(self.folder)

    @property
    def headline(self) -> str:
        """The answer in a few sentences."""
        from . import report

        return report.headline(self)

    def to_pandas(self, columns: Sequence[str] | None = None, where: Any = None) -> pd.DataFrame:
        """A data frame indexed by case; ``where`` is an Arrow expression (``pyarrow.dataset.field("answer")
        == "uncommanded"``)."""
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
        """Probability of each grade with its 95 % interval (Wilson) among completed cases; worst first.

        Raises :class:`InputError` when nothing scatters: the cases of a design are a list, no sample.
        """
        if not self.plan.scatters or self.plan.design.adaptive:
            raise InputError(
                f"{self.folder}: a probability needs cases that are drawn ([tolerances]); "
                "these are all cases of a list, which counts(['grade']) counts"
            )
        return statistics.shares(self.counts(statistics.NEEDED))

    def detection_times(self) -> NDArray[np.float64]:
        """From the fault to the first trouble code [s], of the completed cases in which it was detected."""
        columns = ["detected_after_s", "status"]
        seen = [f.loc[f["status"] == "completed", "detected_after_s"].dropna() for f in self._frames(columns)]
        return np.concatenate([np.empty(0), *seen])

    def detection(self) -> statistics.Detection | None:
        """How many faults were detected, and after which time; ``None`` without faults."""
        specs = self.plan.specs
        if not self.plan.study.faults and not any(spec.faults or spec.pairing.fault for spec in specs):
            return None
        counts = self.counts(["status"]).set_index("status")["cases"]
        return statistics.detection(self.detection_times(), int(counts.get("completed", 0)))

    def sensitivity(self, outputs: Sequence[str], resamples: int = 100) -> dict[str, pd.DataFrame]:
        """How much each parameter matters for each of these columns: PAWN and S₁, the latter with an interval
        from so many ``resamples``.

        Columns that do not vary, or have fewer than 100 values, are left out.
        """
        table = self.thinned(sensitivity.MOST)
        table = table[table["status"] == "completed"]
        inputs = sensitivity.factors(table, self.plan.names)
        found = {
            name: sensitivity.indices(table, inputs, name, self.plan.seed, resamples) for name in outputs
        }
        return {name: indices for name, indices in found.items() if indices is not None}

    def worst(self, most: int = 20) -> pd.DataFrame:
        """Cases of highest severity first, with everything that is stored about them."""
        import pandas as pd

        order = self._worst(lambda table: statistics.worst(table, most))
        rows = pd.DataFrame([self.row(int(number)) for number in order.index], columns=self.columns)
        return rows.set_index("case")

    def worst_of_each(self) -> dict[int, str]:
        """The worst case of each grade, and the grade; worst first."""
        order = self._worst(lambda t: statistics.worst(t, len(t)).drop_duplicates("grade"))
        return dict(zip(order.index.tolist(), order["grade"].tolist(), strict=True))

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
        """The picture that answers, as a figure."""
        from ..pages.figure import figure
        from . import report

        return figure(report.sections(self)[0])

    def runs(self, numbers: Sequence[int], signals: Sequence[str]) -> dict[int, _core.CaseResult]:
        """Some cases run again, as they were, with records of ``signals``; those that cannot be run are left
        out."""
        rows = self._rows(numbers)
        draws = [{name: row[name] for name in self.plan.names} for row in rows]
        found: dict[int, _core.CaseResult] = {}
        learned = Learns(self.plan).of(numbers, draws)
        for solver in dict.fromkeys(row["solver"] for row in rows if row["solver"]):
            some = [k for k, row in enumerate(rows) if row["solver"] == solver]
            cases = [self.plan.case(numbers[k], draws[k]) for k in some]
            known = [None if isinstance(one := learned[k], str) else one for k in some]
            ran = _core.run_batch(
                cases,
                known,
                solver=solver,
                signals=list(signals),
                threads=0,
                **self.plan.study.own,
            )
            found |= {numbers[k]: one.result for k, one in zip(some, ran, strict=True) if one.result}
        return {number: found[number] for number in numbers if number in found}

    def _rows(self, numbers: Sequence[int]) -> list[dict[str, Any]]:
        """What is drawn and the solver of some cases, as stored."""
        import pyarrow.dataset as ds

        wanted = list(dict.fromkeys(numbers))
        columns = ["case", "solver", *self.plan.names]
        found = self.dataset.to_table(columns=columns, filter=ds.field("case").isin(wanted)).to_pylist()
        by_number = {row["case"]: row for row in found}
        return [by_number[number] for number in numbers]

    def learned(self, number: int) -> _core.LearnResult | None:
        """The range learn of a case, made again; ``None`` when nothing is learned."""
        (row,) = self._rows([number])
        draw = {name: row[name] for name in self.plan.names}
        (found,) = Learns(self.plan).of([number], [draw])
        return None if isinstance(found, str) else found

    def replay(self, case: int) -> Replay:
        """Runs one case alone, with the very values that are stored, and keeps its record."""
        return Replay(self.plan, case, self.row(case))

    def thinned(self, most: int) -> pd.DataFrame:
        """All columns of at most ``most`` cases, picked by chance; what is held stays small."""
        count = self.dataset.count_rows()
        rows = np.arange(count)
        if count > most:
            rows = np.sort(np.random.default_rng(self.plan.seed).choice(count, most, replace=False))
        return cast("pd.DataFrame", self.dataset.take(rows).to_pandas().set_index("case"))
