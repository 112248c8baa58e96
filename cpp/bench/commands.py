"""Seconds of every command from its start to its end, on the demo car; its first table is within that. Aim: 1."""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import shimwise as sw

REPETITIONS = 5
MOST_S = 1.0
COMMANDS = {
    "shimwise": [],
    "new": ["new", "{folder}"],
    "sheet": ["sheet", "{car}"],
    "check": ["check", "{car}"],
    "effects": ["effects", "{car}"],
    "curves": ["curves", "{car}", "--rack", "-30:30"],
    "forces": ["forces", "{car}", "--load", "0,500,1200"],
    "rest": ["rest", "{car}"],
    "effects, rest": ["effects", "{car}", "--hold", "rest"],
    "recipes": ["recipes", "{car}"],
    "try": ["try", "{car}", "{readings}", "front_left.track rod=+2 flats"],
    "plan": ["plan", "{car}", "{readings}", "{targets}", "--save", "{folder}.json"],
    "done": ["done", "{car}", "{card}", "--out", "{folder}.toml"],
}


def seconds(words: list[str], names: dict[str, str]) -> float:
    command = [sys.executable, "-m", "shimwise.cli", *(word.format(**names) for word in words)]
    start = time.perf_counter()
    subprocess.run(command, capture_output=True, check=True)  # noqa: S603 - the words stand above
    return time.perf_counter() - start


def main() -> None:
    files = sw.demo_files()
    names = {"car": str(files.car), "readings": str(files.readings), "targets": str(files.targets)}
    with tempfile.TemporaryDirectory() as folder:
        seconds(COMMANDS["plan"], names | {"folder": f"{folder}/first"})
        names["card"] = f"{folder}/first.json"
        taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
        for i in range(REPETITIONS):
            for name, words in COMMANDS.items():
                taken[name].append(seconds(words, names | {"folder": str(Path(folder) / f"{name}{i}")}))
    print(f"{'whole command, seconds':<24} {'median':>8} {'least':>8} {'aim':>6}")
    for name, times in taken.items():
        print(f"{name:<24} {statistics.median(times):8.2f} {min(times):8.2f} {MOST_S:6.0f}")


if __name__ == "__main__":
    main()
