# SPDX-License-Identifier: BSD-3-Clause
"""``tt.diagnose(bench)``: an interview about a bench."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from .explain import Diagnosis
from .interview import ENOUGH, Interview
from .readings import Meter


def diagnose(
    bench: Any,
    observed: Mapping[str, Any] | None = None,
    *,
    priors: Mapping[str, float] | None = None,
    meter: Meter | None = None,
    enough: float = ENOUGH,
    cache: str | Path | None = None,
    progress: bool = False,
) -> Interview:
    """Starts from what is observed so far (as :func:`explain` takes it); asks for the reading worth most.

    ``enough``: probability at which one group counts as found. Every question says how it is measured
    without being hurt; makers' data, local law and licensed practice come first.
    """
    model = Diagnosis.of(bench, cache=cache, progress=progress, priors=priors, meter=meter)
    return Interview(model, observed, enough)
