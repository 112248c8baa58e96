"""A folder that is filled part by part, beside what was asked for and a list of the parts that are there.

It stands within another one, `<name>.unfinished`, and gets its name when it is whole. What stops half way is gone on
with.
"""

from __future__ import annotations

import errno
import fcntl
import json
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from shimwise import _core

if TYPE_CHECKING:
    from io import FileIO

__all__ = ["Unfinished", "unfinished"]

_FOLDER, _ASKED, _DONE = "whole", "asked.json", "done.txt"


class Unfinished:
    """What is being filled, by this process alone."""

    def __init__(self, out: Path, beside: Path, listed: FileIO) -> None:
        self._out, self._beside, self._listed = out, beside, listed

    @property
    def folder(self) -> Path:
        """What is filled."""
        return self._beside / _FOLDER

    def done_of(self, wanted: Mapping[str, str]) -> set[int] | None:
        """The parts that are there already; None where it has not begun, or not as far as to say for what.

        Raises:
            InputError: what has begun was asked for otherwise.
        """
        asked = self._beside / _ASKED
        if not (asked.exists() and self.folder.exists()):
            return None
        self._listed.seek(0)
        text = self._listed.read()
        whole = text[: text.rfind(b"\n") + 1]  # what stands behind was not written to its end
        try:
            there = dict(json.loads(asked.read_text(encoding="utf-8")))
            done = set(map(int, whole.split()))
        except (ValueError, TypeError):
            raise _core.InputError(f"{self._beside}: was changed by hand: remove it to begin anew") from None
        other = [name for name in {**there, **wanted} if there.get(name) != wanted.get(name)]
        if other:
            raise _core.InputError(
                f"{self._out}: has begun for another sweep ({', '.join(other)}): give another name, or remove "
                f"{self._beside} to begin anew"
            )
        self._listed.truncate(len(whole))
        return done

    def clear(self) -> None:
        """Begin anew."""
        (self._beside / _ASKED).unlink(missing_ok=True)
        shutil.rmtree(self.folder, ignore_errors=True)
        self._listed.truncate(0)

    def begun(self, wanted: Mapping[str, str]) -> None:
        """From now on it can be gone on with."""
        _core.write_new_file(str(self._beside / _ASKED), json.dumps(wanted, indent=1))

    def writing(self) -> AbstractContextManager[None]:
        """For all that writes into the folder: say in a sentence what the disk refuses."""
        return _writing(self._out, self._beside)

    def add(self, number: int) -> None:
        """Count a part as there."""
        line = b"%d\n" % number
        if self._listed.write(line) != len(line):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def finish(self) -> None:
        """Give it its name."""
        demand_free(self._out)
        os.sync()  # its contents are on the disk before its name is
        self.folder.rename(self._out)
        shutil.rmtree(self._beside)


@contextmanager
def unfinished(path: str) -> Iterator[Unfinished]:
    """What is to be called so when it is whole.

    Raises:
        InputError: the name is taken, or cannot be; another process is filling it.
    """
    out = Path(path)
    demand_free(out)
    beside = out.with_name(f"{out.name}.unfinished")
    with _writing(out, beside):
        beside.mkdir(exist_ok=True)
        strangers = sorted({one.name for one in beside.iterdir()} - {_FOLDER, _ASKED, _DONE})
        if strangers:
            raise _core.InputError(f"{beside}: is in the way: it holds {strangers[0]}, which is of nothing unfinished")
        listed = (beside / _DONE).open("a+b", buffering=0)
    with listed:
        _lock(out, listed)
        try:
            yield Unfinished(out, beside, listed)
        finally:
            if beside.exists() and not (beside / _ASKED).exists():
                shutil.rmtree(beside)  # nothing of it can be gone on with


@contextmanager
def _writing(out: Path, beside: Path) -> Iterator[None]:
    """Say in a sentence what the disk refuses."""
    try:
        yield
    except OSError as error:
        kept = f"; what is done is kept in {beside}" if (beside / _ASKED).exists() else ""
        raise _core.InputError(f"{out}: cannot be written: {error.strerror or error}{kept}") from error


def demand_free(out: Path) -> None:
    """Refuse a name that is taken or cannot be."""
    if out.is_dir():
        raise _core.InputError(f"{out}: exists already and is not written over")
    _core.demand_new_file(str(out))


def _lock(out: Path, listed: FileIO) -> None:
    try:
        fcntl.flock(listed, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise _core.InputError(f"{out}: is being written by another process") from None
