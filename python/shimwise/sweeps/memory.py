"""What a sweep takes of the memory, before it takes it."""

from __future__ import annotations

import shutil
from pathlib import Path

from shimwise import _core

__all__ = [
    "demand_disk",
    "demand_memory_of_draws",
    "demand_memory_of_file",
    "demand_memory_of_states",
    "free_bytes",
    "shown",
]

_LENT = 0.75  # of what is free: what is made of the result, and others, want some too
_BESIDE = 18  # bytes of a state beside its outputs: status, corner and both amounts


def free_bytes() -> int | None:
    """What this machine, and the group of processes that this one is held in, can still give; None where none says."""
    free = [amount for amount in (_of_machine(), _of_group()) if amount is not None]
    return min(free, default=None)


def demand_memory_of_states(states: int, outputs: int) -> None:
    """Refuse a sweep whose result does not fit."""
    words = "output" if outputs == 1 else "outputs"
    _demand(f"{states:,} states of {outputs} {words}", _bytes(states, outputs))


def demand_memory_of_draws(draws: int, inputs: int) -> None:
    """Refuse a sample that does not fit."""
    _demand(f"{draws:,} draws of {inputs} inputs", 8 * draws * inputs)


def demand_memory_of_file(path: str, needed: int) -> None:
    """Refuse a file whose contents do not fit."""
    free = free_bytes()
    if free is not None and not needed <= free:
        raise _core.InputError(f"{path}: takes {shown(needed)} of memory to write, and {shown(free)} are free")


def demand_disk(path: str, states: int, outputs: int) -> None:
    """Refuse a sweep whose result does not fit onto the disk."""
    needed, free = _bytes(states, outputs), shutil.disk_usage(Path(path).absolute().parent).free
    if not needed <= free:
        raise _core.InputError(f"{path}: takes up to {shown(needed)} of the disk, and {shown(free)} are free")


def _bytes(states: int, outputs: int) -> int:
    return states * (8 * outputs + _BESIDE)


def _demand(what: str, needed: int) -> None:
    free = free_bytes()
    if free is not None and not needed <= _LENT * free:
        raise _core.InputError(
            f"sweep: {what} take {shown(needed)} of memory, more than three quarters of the {shown(free)} that are free"
        )


def shown(count: int) -> str:
    """An amount of memory in words."""
    for unit, size in (("GB", 10**9), ("MB", 10**6), ("kB", 10**3)):
        if count >= size:
            return f"{count / size:,.1f} {unit}"
    return f"{count} bytes"


def _of_machine() -> int | None:
    for line in _lines("/proc/meminfo"):
        name, _, amount = line.partition(":")
        if name == "MemAvailable":
            return int(amount.split()[0]) * 1024
    return None


def _of_group() -> int | None:
    most, now = (_lines(f"/sys/fs/cgroup/memory.{name}") for name in ("max", "current"))
    if most and now and most[0].isdigit():
        return max(0, int(most[0]) - int(now[0]))
    return None


def _lines(path: str) -> list[str]:
    try:
        return Path(path).read_text(encoding="ascii").splitlines()
    except OSError:
        return []
