"""How far a long work is, for a person or a call."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from shimwise import _core

__all__ = ["Progress", "told"]

Progress = bool | Callable[[int, int], object]

_EVERY_S = 0.2


@contextmanager
def told(progress: Any, count: int) -> Iterator[Callable[[int], object] | None]:
    """What is called with the states done: of True a line on stderr that is written over, of a call that call.

    Raises:
        InputError: it is neither True, False nor a call.
    """
    if not isinstance(progress, bool) and not callable(progress):
        raise _core.InputError(f"progress = {progress!r}: needs True, False or a call")
    if callable(progress):
        yield lambda done: progress(done, count)
    elif not progress:
        yield None
    else:
        line = _Line(count)
        try:
            yield line.show
        finally:
            line.end()


class _Line:
    def __init__(self, count: int) -> None:
        self._count = count
        self._began = self._shown = time.monotonic()
        self._longest = 0

    def show(self, done: int) -> None:
        now = time.monotonic()
        if now - self._shown < _EVERY_S and done < self._count:
            return
        self._shown = now
        text = f"{done:,} of {self._count:,} states"
        if 0 < done < self._count:
            text += f", {(now - self._began) * (self._count - done) / done:.0f} s left"
        self._longest = max(self._longest, len(text))
        sys.stderr.write(f"\r{text:<{self._longest}}")
        sys.stderr.flush()

    def end(self) -> None:
        if self._longest:
            sys.stderr.write("\n")
