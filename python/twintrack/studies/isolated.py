# SPDX-License-Identifier: BSD-3-Clause
"""A controller in a process of its own, so that one that crashes or never answers ends its case and nothing
else.

Each tick crosses a pipe twice, which makes it far slower than a controller in the same process.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import subprocess
import sys
import time
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from .. import _core

#: [s] for loading the controller and making one for a case.
_START = 30.0


class Isolated:
    """A factory like any other: ``(learned, bench, period)`` to an object with ``step(ControlInput)``.

    ``path`` of a shared object; ``tick_limit`` and ``case_limit`` [s] by the clock on the wall: of one
    answer, and of all answers of a case together.
    """

    def __init__(self, path: str, *, tick_limit: float = 1.0, case_limit: float = 600.0) -> None:
        for name, value in (("tick_limit", tick_limit), ("case_limit", case_limit)):
            if not 0.0 < value < float("inf"):
                raise _core.InvalidParameter(f"{name} = {value}: a positive number of seconds is expected")
        self.path = path
        self.limits = tick_limit, case_limit

    def __call__(self, learned: Any, bench: Any, period: float) -> _Remote:
        return _Remote(self.path, learned, bench, *self.limits)


class _Remote:
    def __init__(self, path: str, learned: Any, bench: Any, tick_limit: float, case_limit: float) -> None:
        self._tick_limit, self._left = tick_limit, case_limit
        self._pipe, far = multiprocessing.Pipe()
        # A program of its own and not a fork, since an experiment has threads; nor one of multiprocessing's,
        # which would run the user's own program once more.
        program = f"from {__name__} import serve; serve({far.fileno()})"
        places = [str(Path(_core.__file__).parents[1]), os.environ.get("PYTHONPATH", "")]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, places))}
        command = [sys.executable, "-c", program]
        self._process = subprocess.Popen(
            command, pass_fds=[far.fileno()], env=environment, stdin=subprocess.DEVNULL
        )
        far.close()
        self._send((path, learned, bench))
        self._answer(_START, "make the controller")

    def step(self, seen: _core.ControlInput) -> _core.Command:
        limit = min(self._tick_limit, self._left)
        begin = time.monotonic()
        self._send(seen)
        command: _core.Command = self._answer(limit, "answer a tick")
        self._left -= time.monotonic() - begin
        return command

    def _send(self, what: Any) -> None:
        with contextlib.suppress(OSError):  # that a process is gone is told when its answer is read
            self._pipe.send(what)

    def _answer(self, limit: float, what: str) -> Any:
        """Raises RuntimeError for a process that is gone or late (it is ended), and for what it tells."""
        try:
            if not self._pipe.poll(max(limit, 0.0)):
                self.close()
                raise RuntimeError(f"took more than {limit:g} s to {what}")
            answer = self._pipe.recv()
        except (EOFError, OSError):
            try:
                code = self._process.wait(5.0)
            except subprocess.TimeoutExpired:  # it has closed the pipe and lives on
                self.close()
                code = self._process.returncode
            how = f"by signal {-code}" if code < 0 else f"with status {code}"
            raise RuntimeError(f"its process has ended {how}") from None
        if isinstance(answer, str):
            self.close()
            raise RuntimeError(answer)
        return answer

    def close(self) -> None:
        """Ends the process."""
        self._process.kill()
        self._process.wait()
        self._pipe.close()

    def __del__(self) -> None:
        with contextlib.suppress(Exception):  # half made, or at the interpreter's end
            self.close()


def serve(descriptor: int) -> None:
    """In the process of the controller: a command for each input, a text for what went wrong."""
    pipe = Connection(descriptor)
    path, learned, bench = pipe.recv()
    try:
        controller = _core.make_controller(bench, learned, _core.SharedController(path))
    except Exception as error:
        pipe.send(str(error))
        return
    pipe.send(None)
    with contextlib.suppress(EOFError, OSError):  # nobody asks any more
        while True:
            seen = pipe.recv()
            try:
                answer: Any = controller.step(seen)
            except Exception as error:
                answer = str(error)
            pipe.send(answer)
