"""Writes what the installed package answers into a folder, one file per answer: record.py FOLDER CARS."""

from __future__ import annotations

import inspect
import os
import re
import shutil
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

DEMO = -1
LONGEST = 90


class Files:
    """One file per answer, named by what was asked."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True)

    def keep(self, asked: str, text: str) -> None:
        name = re.sub(r"[^A-Za-z0-9.+-]+", "_", asked).strip("_")[:LONGEST]
        count = 0
        while (path := self.folder / f"{name}{f'_{count}' if count else ''}.txt").exists():
            count += 1
        path.write_text(text, encoding="utf-8")


def record_car(into: Path, number: int) -> str:
    """The demo car, or a random one."""
    os.environ["COLUMNS"] = "80"
    import inputs
    import shimwise as sw
    from calls import record_calls
    from commands import record_commands

    files = Files(into / ("demo" if number == DEMO else f"car_{number:02}"))
    with tempfile.TemporaryDirectory() as empty:
        os.chdir(empty)
        if number == DEMO:
            inputs.demo_inputs(sw.demo_files())
        else:
            inputs.random_inputs(number)
        for path in sorted(Path().iterdir()):
            files.keep(f"given {path.name}", path.read_text(encoding="utf-8"))
        record_commands(files.keep, whole=number == DEMO)
        record_calls(files.keep, whole=number == DEMO)
        os.chdir(into)
    return files.folder.name


def record_package(into: Path) -> None:
    """Its stub, and what can be called."""
    import shimwise as sw

    shutil.copy(Path(sw.__file__).with_name("_core.pyi"), into / "_core.pyi")
    lines = []
    for name in sorted(sw.__all__):
        thing = getattr(sw, name)
        if name == "__version__":
            continue
        lines.append(f"{name}{_signature(thing)}")
        if inspect.isclass(thing) or inspect.ismodule(thing):
            public = [m for m in getattr(thing, "__all__", dir(thing)) if not m.startswith("_")]
            lines += [f"  {name}.{m}{_signature(getattr(thing, m))}" for m in sorted(public)]
    (into / "public.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _signature(thing: object) -> str:
    """Names and defaults; the names of types follow the rooms."""
    if not callable(thing):
        return ""
    try:
        asked = inspect.signature(thing).parameters.values()
    except ValueError:
        return ""
    return str(inspect.Signature([parameter.replace(annotation=parameter.empty) for parameter in asked]))


def main() -> None:
    into, cars = Path(sys.argv[1]).resolve(), int(sys.argv[2])
    record_package(into)
    with ProcessPoolExecutor() as pool:
        for name in pool.map(record_car, [into] * (cars + 1), range(DEMO, cars)):
            print(name, flush=True)


if __name__ == "__main__":
    main()
