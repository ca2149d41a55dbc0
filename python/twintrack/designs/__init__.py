# SPDX-License-Identifier: BSD-3-Clause
"""What a study may vary: one design a folder or file, each with what is its own."""

from __future__ import annotations

from .audit.design import Audit
from .design import Design
from .diagnosis.design import Diagnosis
from .idle.design import Idle
from .learning.design import Learning
from .pairing.design import Pairing
from .search.design import Search
from .search.double import DoubleFaults
from .search.rare import Rare

#: The designs by the name that a study file gives.
DESIGNS: dict[str, type[Design]] = {
    design.name: design for design in (Pairing, Audit, Learning, Idle, Diagnosis, Search, Rare, DoubleFaults)
}
