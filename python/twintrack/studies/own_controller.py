# SPDX-License-Identifier: BSD-3-Clause
"""Units of one's own for every case of an experiment: a factory, its name, and what its source was.

No file names it: reading a study or a folder of results must not run code. Whoever runs gives it.
"""

from __future__ import annotations

import hashlib
import importlib
import inspect
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from .. import _core
from ..errors import InputError, closest, listing
from .isolated import Isolated

#: ``(LearnedRange or None, BenchParameters, period [s])`` to an object with ``step(ControlInput)``; of a
#: monitor with ``step(ControlInput, Command)``.
Factory = Callable[[Any, Any, float], Any]

#: What can be replaced, each alone.
ROLES = ("controller", "monitor", "learn")


@dataclass(frozen=True)
class OwnController:
    """``name`` is "module:factory"; ``sha256`` is of the source file that the factory stands in; ``role`` is
    one of ``ROLES``."""

    name: str
    sha256: str
    factory: Factory | _core.SharedController | None = field(default=None, compare=False, repr=False)
    role: str = "controller"

    def plain(self) -> dict[str, str]:
        return {"name": self.name, "sha256": self.sha256}

    def made(self) -> Factory | _core.SharedController:
        """The factory; raises :class:`InputError` when only its name is known."""
        if self.factory is None:
            option = self.name if self.role == "controller" else f"{self.role}={self.name}"
            raise InputError(
                f"these cases were run with the {self.role} {self.name!r}; give it again "
                f"(--unit {option}, or Result(folder, unit=…))"
            )
        return self.factory


#: A unit as one gives it: a factory, a name or path, or what :func:`load` made of these.
Given = Factory | _core.SharedController | OwnController | str


def units(given: Given | Mapping[str, Given] | None, isolated: bool = False) -> dict[str, OwnController]:
    """By role. One that is given alone is a controller. Raises :class:`InputError`."""
    table = given if isinstance(given, Mapping) else {} if given is None else {"controller": given}
    found = {}
    for role, one in table.items():
        if role not in ROLES:
            raise InputError(
                f"unit: there is no {role!r}{closest(role, ROLES)} (there are: {listing(ROLES)})"
            )
        if isinstance(one, str):
            one = load(one, isolated)
        elif not isinstance(one, OwnController):
            one = of(one)
        if role != "controller" and one.name.endswith((".so", ".fmu")):
            raise InputError(
                f"unit {one.name!r}: a shared object or FMU can be a controller only, not a {role}"
            )
        found[role] = replace(one, role=role)
    return found


def by_role(texts: Iterable[str]) -> dict[str, str]:
    """ "controller=…", "monitor=…", "learn=…" as a mapping; without a role it is the controller."""
    found: dict[str, str] = {}
    for text in texts:
        role, equals, name = text.partition("=")
        role, name = (role, name) if equals and role in ROLES else ("controller", text)
        if role in found:
            raise InputError(f"unit {text!r}: there is a {role} already, {found[role]!r}")
        found[role] = name
    return found


def of(factory: Factory | _core.SharedController) -> OwnController:
    """By a factory in a program. Raises :class:`InputError` for what cannot be called."""
    if isinstance(factory, _core.SharedController):
        raise InputError("unit: name a shared object by its path, so that its bytes are known")
    if not callable(factory):
        raise InputError(
            f"unit: a factory (learned, bench, period) -> object with step() is expected; got {factory!r}"
        )
    name = f"{getattr(factory, '__module__', '?')}:{getattr(factory, '__qualname__', type(factory).__name__)}"
    return OwnController(name, _digest(factory), factory)


def load(text: str, isolated: bool = False) -> OwnController:
    """By the path of a shared object (``*.so``) or of an FMU (``*.fmu``), or by "module:factory", the module
    found as Python finds it from the folder at hand. ``isolated``: a shared object is loaded in processes of
    its own (isolated.py)."""
    if text.endswith(".so"):
        return _shared(text, isolated)
    if text.endswith(".fmu") and not isolated:
        from .fmu_controller import FmuController

        return OwnController(text, _bytes_digest(text), FmuController(text))
    if isolated:
        raise InputError(f"unit {text!r}: only a shared object (*.so) can be isolated")
    module, colon, name = text.partition(":")
    if not (module and colon and name):
        raise InputError(
            f"unit {text!r}: expected 'module:factory', such as 'own_controller:make', or a file .so or .fmu"
        )
    here = str(Path.cwd())
    if here not in sys.path:
        sys.path.insert(0, here)
    try:
        found: Any = importlib.import_module(module)
    except Exception as error:  # whatever the user's own module raises
        raise InputError(
            f"unit {text!r}: the module {module!r} cannot be imported: {type(error).__name__}: {error}"
        ) from error
    for part in name.split("."):
        if not hasattr(found, part):
            there = [n for n in dir(found) if not n.startswith("_")]
            raise InputError(f"unit {text!r}: there is no {part!r} in {module!r}{closest(part, there)}")
        found = getattr(found, part)
    own = of(found)
    return OwnController(text, own.sha256, own.factory)


def _shared(path: str, isolated: bool) -> OwnController:
    try:
        factory = Isolated(path) if isolated else _core.SharedController(path)
    except _core.InvalidParameter as error:
        raise InputError(str(error)) from error
    return OwnController(path, _bytes_digest(path), factory)


def _bytes_digest(path: str) -> str:
    try:
        return hashlib.sha256(Path(path).read_bytes()).hexdigest()
    except OSError as error:
        raise InputError(f"unit {path!r}: cannot be read: {error.strerror or error}") from error


def same(stored: OwnController, given: OwnController) -> OwnController:
    """The given one, when it is the stored one; raises :class:`InputError` for another or a changed one."""
    if stored.sha256 != given.sha256:
        raise InputError(
            f"unit {given.name!r}: its source is not that of {stored.name!r}, with which these cases were run"
        )
    return replace(stored, factory=given.factory)


def _digest(factory: Any) -> str:
    """Of the source file; of a factory without one, of its code."""
    try:
        source = inspect.getsourcefile(factory)
    except TypeError:  # an object that can be called
        source = inspect.getsourcefile(type(factory))
    if source is not None and Path(source).is_file():
        return hashlib.sha256(Path(source).read_bytes()).hexdigest()
    code = getattr(factory, "__code__", None)
    return hashlib.sha256(code.co_code if code is not None else repr(type(factory)).encode()).hexdigest()
