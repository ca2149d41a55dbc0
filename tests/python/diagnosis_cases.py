# SPDX-License-Identifier: BSD-3-Clause
"""Synthetic cases of a diagnosis: every cause in draws of the tolerances that the dictionary has not seen,
read with a meter's error, asked until one group is left.

    python tests/python/diagnosis_cases.py CASES [SEED [CACHE]]

with SEED (default 1) of the draws, of the dictionary's as of those it has not seen, and of the meter's
errors. Prints how often the true cause stands in the first group, calibration, proper scores (Brier,
logarithmic), how many measurements it took, a table by kind of fault, and the worst confusions; fails where
the bounds are missed.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from scipy import special, stats

import twintrack as tt
from twintrack.diagnosis.dictionary import DRAWS, Dictionary, cases_of, plan_of, study_of
from twintrack.diagnosis.explain import Diagnosis
from twintrack.diagnosis.next_reading import state_of
from twintrack.diagnosis.readings import OPEN, Meter, Reading, meter_deviation

SYMPTOMS = (Reading("codes"), Reading("key_on"), Reading("follows"))
MOST = 30


@dataclass
class Told:
    """What became of a case."""

    cause: str
    kind: str
    family: str
    first: str
    right: bool
    claimed: float
    measurements: int
    truth: float  #: probability given to the true group
    brier: float
    family_of_first: str = ""
    readings: list[str] = field(default_factory=list)
    steps: list[tuple[float, bool]] = field(
        default_factory=list
    )  #: claimed and right, of every answer on the way


class Truth:
    """A case that one can measure at."""

    def __init__(self, plan, unseen: Dictionary, cause: int, draw: int, rng, seen: int = DRAWS) -> None:
        self.seen = seen
        self.plan, self.unseen, self.cause, self.draw, self.rng = plan, unseen, cause, draw, rng

    def read(self, reading: Reading, meter: Meter):
        if reading.kind == "refusal":
            number = (self.seen + self.draw) * len(self.plan.specs) + self.cause
            case = self.plan.case(number)
            tried = tt.learn(case.parameters, faults=case.faults_of_run)
            return "accepted" if tried.accepted else tried.refusal
        if not reading.number:
            return str(self.unseen.column(reading.kind)[self.cause, self.draw])
        value = float(self.unseen.numbers(reading)[self.cause, self.draw])
        if reading.kind == "ohms":
            value = min(value, OPEN)
            bound = meter.ohms_share * value + meter.ohms
            return OPEN if value >= OPEN else max(0.0, value + bound * self.rng.uniform(-1, 1))
        bound = float(meter_deviation(reading, value, meter)) * np.sqrt(3.0)
        return value + bound * self.rng.uniform(-1, 1)


def diagnose(model: Diagnosis, truth: Truth, rng, *, choose: str = "best", enough: float = 0.95) -> Told:
    """Asks until one group is left; ``choose``: "best", or "random" readings of a meter."""
    known = model.known
    observed = {reading: truth.read(reading, model.meter) for reading in SYMPTOMS}
    answer = model.explain(observed)
    cause, count, steps = known.causes[truth.cause], 0, []
    while answer.best.probability < enough and count < MOST:
        if choose == "best":
            following = model.next(answer)
            if not following:
                break
            reading = following[0].reading
        else:
            rest = [r for r in known.readings if r not in observed and state_of(r) in ("off", "still")]
            reading = rest[rng.integers(len(rest))]
        steps.append((answer.best.probability, cause.label in answer.best.causes))
        observed[reading] = truth.read(reading, model.meter)
        answer = model.explain(observed)
        count += 1
    shares = np.array([group.probability for group in answer.groups])
    hit = np.array([cause.label in group.causes for group in answer.groups])
    best = answer.best
    steps.append((best.probability, cause.label in best.causes))
    return Told(
        cause.label, cause.kind, cause.family, best.text, cause.label in best.causes, best.probability, count,
        float(shares[hit].sum()), float(((shares - hit) ** 2).sum()), best.family,
        [r.text for r in observed], steps,
    )  # fmt: skip


def world(plan, unseen_draws: int, cache, seen: int = DRAWS):
    """Diagnosis, plan, and the draws it has not seen."""
    table = cases_of(plan, seen + unseen_draws, cache)
    size = len(plan.specs)
    known = Dictionary(table.iloc[: seen * size], plan.design)
    unseen = Dictionary(table.iloc[seen * size : (seen + unseen_draws) * size], plan.design)
    assert known.labels == unseen.labels == [spec.labels["cause"] for spec in plan.specs]
    return Diagnosis(known), plan, unseen


def run(
    bench, cases: int, cache, *, choose: str = "best", seed: int = 1, enough: float = 0.95
) -> pd.DataFrame:
    """One row a case, all causes alike often."""
    plan = plan_of(study_of(bench.parameters.replace({"seed": seed})))
    draws = -(-cases // len(plan.specs))
    model, plan, unseen = world(plan, draws, cache)
    return told_of(model, plan, unseen, cases, choose=choose, seed=seed, enough=enough)


def told_of(model, plan, unseen, cases: int, *, choose: str = "best", seed: int = 1, enough: float = 0.95):
    """The cases of a world, drawn by a seed."""
    rng = np.random.default_rng(seed)
    places = [(cause, draw) for draw in range(unseen.draws) for cause in range(len(plan.specs))]
    some = [places[k] for k in rng.permutation(len(places))[:cases]]
    told = [
        diagnose(model, Truth(plan, unseen, c, d, rng), rng, choose=choose, enough=enough) for c, d in some
    ]
    return pd.DataFrame([vars(one) for one in told])


def calibration(table: pd.DataFrame) -> pd.DataFrame:
    """Claimed and right, by how much is claimed."""
    edges = [0.0, 0.5, 0.7, 0.85, 0.95, 0.99, 1.0001]
    steps = pd.DataFrame([step for row in table["steps"] for step in row], columns=["claimed", "right"])
    cut = pd.cut(steps["claimed"], edges, right=False)
    found = steps.groupby(cut, observed=True).agg(
        cases=("right", "size"), claimed=("claimed", "mean"), right=("right", "mean")
    )
    return found


def about_nine(table: pd.DataFrame) -> tuple[np.ndarray, float]:
    """Of each case the first answer that claims 85 … 95 %, if any: right or not, and the mean claim. Answers
    of one case are not independent, so each counts once."""
    first = [next((s for s in row if 0.85 <= s[0] < 0.95), None) for row in table["steps"]]
    some = np.array([step for step in first if step is not None], dtype=float)
    return some[:, 1], float(some[:, 0].mean())


def curve_at(table: pd.DataFrame, claim: float) -> tuple[float, float, float]:
    """Share that is right where ``claim`` is claimed, and its 95 % interval, by the calibration curve of all
    answers on the way: logit(right) = a + b logit(claimed) (Cox, Biometrika 45, 1958, from memory), by
    statsmodels, errors clustered by case since the answers of one are not independent."""
    import statsmodels.api as sm

    steps = [(k, *step) for k, row in enumerate(table["steps"]) for step in row if 0.05 < step[0] < 0.995]
    case, claimed, right = np.array(steps, dtype=float).T
    terms = sm.add_constant(special.logit(claimed))
    fit = sm.GLM(right, terms, family=sm.families.Binomial()).fit(
        cov_type="cluster", cov_kwds={"groups": case.astype(int)}
    )
    at = np.array([1.0, special.logit(claim)])
    middle, spread = at @ fit.params, np.sqrt(at @ fit.cov_params() @ at)
    low, high = stats.norm.interval(0.95, middle, spread)
    return tuple(float(special.expit(x)) for x in (middle, low, high))


def _worst(of_kind: pd.DataFrame) -> str:
    """What was taken most often for a true cause of this kind."""
    found = of_kind.loc[~of_kind["right"], "first"].value_counts()
    return f"{found.iloc[0]}: {found.index[0]}" if len(found) else ""


def main() -> None:
    cases, seed = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    with tempfile.TemporaryDirectory() as own:
        cache = sys.argv[3] if len(sys.argv) > 3 else own
        best = run(bench, cases, cache, seed=seed)
        chance = run(bench, max(cases // 10, 50), cache, choose="random", seed=seed)
    pd.set_option("display.width", 200)
    kinds = best.groupby(["family", "kind"]).agg(
        cases=("right", "size"), right=("right", "mean"), claimed=("claimed", "mean"),
        measurements=("measurements", "mean"),
    )  # fmt: skip
    kinds["worst confusion"] = [_worst(best[best["kind"] == kind]) for _, kind in kinds.index]
    print(kinds.round(3).to_string())
    print(
        f"\nfirst group right: {best['right'].mean():.4f} of {len(best)} (claimed "
        f"{best['claimed'].mean():.4f})"
    )
    print(f"Brier {best['brier'].mean():.4f}, log {-np.log(best['truth'].clip(1e-12)).mean():.4f}")
    print(f"measurements: {best['measurements'].mean():.2f} chosen, {chance['measurements'].mean():.2f} "
          f"by chance (at most {MOST}; right then {chance['right'].mean():.3f})")  # fmt: skip
    print("\n" + calibration(best).round(4).to_string())
    nine, about = about_nine(best)
    interval = stats.binomtest(int(nine.sum()), len(nine)).proportion_ci()
    told = f"{nine.mean():.3f} of {len(nine)} right (95 %: {interval.low:.3f} … {interval.high:.3f})"
    print(f"where 85 … 95 % is claimed, {about:.3f} on average, once a case: {told}")
    share, low, high = curve_at(best, 0.9)
    print(
        f"where 90 % is claimed, by the calibration curve: {share:.3f} right (95 %: {low:.3f} … {high:.3f})"
    )
    wrong = best[~best["right"]]
    confusions = Counter(zip(wrong["cause"], wrong["first"], strict=True))
    print("\nworst confusions (true → first):")
    for (cause, first), count in confusions.most_common(12):
        print(f"  {count}  {cause} → {first}")
    reached = best["right"].mean() >= 0.95 and best["measurements"].mean() <= 4.0
    gap = abs(best["right"].mean() - best["claimed"].mean())
    print(f"\ncalibration in the large: {gap:.4f}")
    calibrated = interval.low - 0.02 <= about <= interval.high + 0.02 and low - 0.02 <= 0.9 <= high + 0.02
    if not reached or gap > 0.02 or not calibrated:
        sys.exit("bounds missed")


if __name__ == "__main__":
    main()
