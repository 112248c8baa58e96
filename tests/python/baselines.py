"""Baselines for tests: chains of them, and files that were changed and sealed again. All data are invented."""

from __future__ import annotations

import datetime
import hashlib
import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

import shimwise as sw

Table = dict[str, Any]
FIRST = datetime.datetime(2026, 5, 2, 8, 10, tzinfo=datetime.UTC)
SEAL = b"\n[seal]\n"


def sheet(days: float = 0.0, change: Callable[[Table], None] | None = None) -> Table:
    """The demo morning, so many days later."""
    table = tomllib.loads(sw.demo_files().readings.read_text(encoding="utf-8"))
    table["at"] = FIRST + datetime.timedelta(days=days)
    if change:
        change(table)
    return table


def accepted(
    car: sw.Car, out: Path, days: float = 0.0, change: Callable[[Table], None] | None = None, **how: Any
) -> sw.Baseline:
    return sw.accept(car, sw.load_readings(sheet(days, change), car), "invented", out, **how)


def chain(car: sw.Car, folder: Path, count: int, change: Callable[[int, Table], None] | None = None) -> None:
    """One a week, each in place of the one before."""
    before = None
    for i in range(count):
        out = folder / f"b{i:03}.toml"
        before = accepted(car, out, 7.0 * i, (lambda t, i=i: change(i, t)) if change else None, replaces=before)


def sealed(written: bytes) -> bytes:
    """The same with the digest of what it now holds."""
    above = written.rpartition(SEAL)[0] + b"\n"
    return above + f'[seal]\ndigest = "{hashlib.sha256(above).hexdigest()[:16]}"\n'.encode()


def noise(rng: np.random.Generator) -> Callable[[int, Table], None]:
    """Cambers and weights that scatter by hand and settling about the first."""

    def change(_i: int, table: Table) -> None:
        for wheel in ("front_left", "front_right", "rear_left", "rear_right"):
            table[wheel]["camber_deg"] += float(rng.normal(0.0, 0.0125))
            table[wheel]["scale_kg"] += float(rng.normal(0.0, 0.18))

    return change


def replaced(text: str, pattern: str, by: str) -> str:
    new, count = re.subn(pattern, lambda _: by, text, count=1, flags=re.MULTILINE)
    assert count == 1, pattern
    return new
