"""Every command with its options on the car of the present folder: output, errors, exit code and the files it wrote."""

from __future__ import annotations

import contextlib
import io
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import shimwise as sw
from shimwise.cli import main

Keep = Callable[[str, str], None]

CAR = "car.toml"
MORNING = [CAR, "readings.toml", "targets.toml"]
SETTINGS = ["--settings", "settings.toml"]
FLOOR = ("--pads", "1,0,0,2", "--ballast", "driver=80", "--rack", "9")
HOLDS = ("wheel", "contact", "spring", "rest")


def run(words: list[str]) -> str:
    """What the command line answers, in this process."""
    out, err = io.StringIO(), io.StringIO()
    before, sys.argv = sys.argv, ["shimwise", *words]
    code: object = 0
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            main()
    except SystemExit as stopped:
        code = stopped.code
    except Exception as error:  # what no user should see is recorded as well
        code = f"{type(error).__name__}: {error}"
    finally:
        sys.argv = before
    return f"exit {code}\n--- stdout\n{undated(out.getvalue())}--- stderr\n{undated(err.getvalue())}"


def undated(text: str) -> str:
    """Without the version, which is no output of the car."""
    version = re.escape(sw.__version__)
    return re.sub(rf'(\bshimwise "|"shimwise": "|\bshimwise ){version}', r"\1VERSION", text)


def record_commands(keep: Keep, *, whole: bool) -> None:
    """Run them all; `whole` for the car that gets pictures, the starter and the refusals too."""
    for words in commands(sw.load_car(CAR)):
        _one(keep, words)
    if whole:
        for words in once():
            _one(keep, words)


def _one(keep: Keep, words: list[str]) -> None:
    before = {path for path in Path().rglob("*") if path.is_file()}
    text = f"$ shimwise {' '.join(words)}\n{run(words)}"
    for path in sorted({path for path in Path().rglob("*") if path.is_file()} - before):
        written = path.read_bytes().decode("utf-8", "replace") if path.suffix != ".png" else path.read_bytes().hex()
        text += f"--- {path}\n{undated(written)}"
    keep("shimwise " + " ".join(words), text)


def commands(car: sw.Car) -> Iterator[list[str]]:
    """Each car's own."""
    every = [(c, a) for c, corner in car.corners.items() for a in corner.adjusters]
    threads = [f"{c}.{a.name}" for c, a in every if hasattr(a.setting, "now_turns")]
    packs = [f"{c}.{a.name}" for c, a in every if not hasattr(a.setting, "now_turns")]
    purposes = {a.purpose.name: f"{c}.{a.name}" for c, a in reversed(every) if hasattr(a.setting, "now_turns")}
    both, table = ([], ["--json"]), ([], ["--json"], ["--csv"])
    for form in both:
        yield ["check", CAR, *form]
        yield ["check", CAR, *SETTINGS, *form]
        yield ["curves", CAR, *form]
        yield ["curves", CAR, "--rack=-20:20:10", "--travel=-10:10:5", *SETTINGS, *form]
        yield ["forces", CAR, *form]
        yield ["forces", CAR, "--corner", "front_right", "--load=-900,250,1800", "--travel=4", "--rack=-6", *form]
        yield ["forces", CAR, "--load=0,-1500,2000", *SETTINGS, *form]
        yield ["recipes", CAR, *form]
        yield ["recipes", CAR, "--corner", "rear_left", "--by", "camber=0.25", "--by", "chassis_height=-2", *form]
        yield ["recipes", CAR, *SETTINGS, "--by", "toe=-0.1", *form]
        yield ["recipes", CAR, "--aim", "front_height=+2 mm", *form]
        yield ["recipes", CAR, "--aim", "cross_weight=0.5 %", "--aim", "rake=1", "--turn", "corner_weight", *form]
        yield ["recipes", CAR, "--aim", "rake=1 mm", "--keep", "cross_weight", "--keep", "toe", *SETTINGS, *form]
        yield ["recipes", CAR, "--aim", "front_height=2", *FLOOR, *form]
        yield ["recipes", CAR, "--aim", "front_left.camber=-0.2 deg", "--keep", "others", *form]
        yield ["sheet", CAR, *form]
        yield ["sheet", CAR, *SETTINGS, *form]
        yield ["read", *MORNING[:2], *form]
        yield ["read", *MORNING[:2], *SETTINGS, *form]
        yield ["compare", *MORNING[:2], MORNING[1], "--settings-new", SETTINGS[-1], *form]
        yield ["level", *MORNING[:2], *form]
        yield ["level", *MORNING[:2], "--tilt", "0.1", "--twist", "0.1", "--as", MORNING[1], *SETTINGS, *form]
        yield ["skid", "skid.toml", *form]
        yield ["skid", "skid.toml", CAR, "--next", "60", "--lasts", "200", *form]
        yield ["plan", *MORNING, *form]
        yield ["plan", *MORNING, "--choose", "closest", *SETTINGS, *form]
        yield ["try", *MORNING[:2], f"{threads[0]}=+2 flats", *form]
        turned = [f"{threads[-1]}=1/2 turn shorter", f"{packs[0]}=+0.5 mm", f"{purposes['corner_weight']}=+1 turn"]
        yield ["try", *MORNING[:2], *turned, *SETTINGS, *form]
    for form in table:
        for hold in HOLDS:
            yield ["effects", CAR, "--hold", hold, *form]
        for hold, per in (("contact", "turn"), ("rest", "turn"), ("rest", "mm"), ("spring", "mm")):
            yield ["effects", CAR, "--hold", hold, "--per", per, "--corner", "rear_right", *form]
        yield ["effects", CAR, *SETTINGS, "--hold", "rest", "--corner", "front_left", *form]
        yield ["effects", CAR, "--hold", "rest", *FLOOR, *form]
        yield ["rest", CAR, *form]
        yield ["rest", CAR, "--pads", "1.5,-0.5,0,2", "--ballast", "driver=80", *form]
        yield ["rest", CAR, "--pads", "rear_left=2", "--tyres", *SETTINGS, *form]
        yield ["rest", CAR, "--rack", "-7.5", *form]
        yield ["rest", CAR, "--bars", "both", *SETTINGS, *form]
        yield ["rest", CAR, "--solid", *form]
        yield ["rest", CAR, "--solid", "--pads", "front_right=-1.5", *SETTINGS, *form]
    yield ["accept", *MORNING[:2], "--reason", "recorded", "--out", "b1.toml"]
    yield ["accept", *MORNING[:2], "--reason", "again", "--out", "b2.toml", "--replaces", "b1.toml", *SETTINGS]
    yield ["accept", *MORNING[:2], "--reason", "again", "--out", "b2.toml"]
    for form in ([], ["--json"]):
        yield ["compare", CAR, "b1.toml", "b2.toml", *form]
        yield ["setup", CAR, "b2.toml", *form]
        yield ["restore", CAR, "b2.toml", *form]
        yield ["history", ".", *form]
    yield ["history", ".", "--csv"]
    yield ["sheet", CAR, "--toml"]
    yield ["sheet", CAR, "--toml", "--out", "sheet.toml", "--json"]
    yield ["plan", *MORNING, "--save", "card.json"]
    yield ["plan", *MORNING, "--choose", "least_work", "--save", "least.json"]
    yield ["plan", *MORNING, "--all"]
    yield ["plan", *MORNING, "--free", "rear_difference", "--keep", "caster", "--prefer", "front_left", "--all"]
    yield ["plan", *MORNING, "--force", f"{threads[0]}=+1 flat", "--forbid", "rear_right", "--json"]
    yield ["done", CAR, "card.json", "--out", "done.toml"]
    instead = ["--but", f"{threads[0]}=+1 flat"]
    yield ["done", CAR, "card.json", "--out", "done_otherwise.toml", *instead, "--json"]
    yield ["plan", *MORNING, "--settings", "done.toml"]
    yield ["new", "mine", "--points", "points.csv", "--name", "Taken over"]


def once() -> Iterator[list[str]]:
    """Help, pictures, the starter car, refusals: the same for every car."""
    names = (
        "accept",
        "check",
        "compare",
        "curves",
        "done",
        "effects",
        "forces",
        "history",
        "level",
        "new",
        "plan",
        "read",
        "recipes",
        "rest",
        "restore",
        "setup",
        "sheet",
        "skid",
        "sweep",
        "try",
    )
    yield []
    yield ["--help"]
    for name in names:
        yield [name, "--help"]
        yield [name]
    yield ["new", "starter"]
    yield ["new", "starter"]
    yield ["new", "starter_json", "--json"]
    starter = [f"starter/{name}" for name in ("car.toml", "readings.toml", "targets.toml")]
    yield ["check", starter[0]]
    yield ["plan", *starter]
    yield ["plan", *starter, "--json"]
    yield ["rest", starter[0]]
    yield ["recipes", starter[0], "--aim", "rake=1 mm"]
    yield ["check", CAR, "--plot", "corners.svg"]
    yield ["curves", CAR, "--corner", "front_left", "--plot", "curves.svg"]
    yield ["curves", CAR, "--plot", "curves.bmp"]
    yield ["sweep", CAR, "sweep.toml", "--out", "swept.csv", "--threads", "1"]
    yield ["curves", CAR, "--travel=-500:500:100"]
    yield ["curves", CAR, "--travel=five"]
    yield ["effects", CAR, "--json", "--csv"]
    yield ["effects", CAR, "--hold", "nothing"]
    yield ["rest", CAR, "--pads", "front_left=2000"]
    yield ["rest", CAR, "--pads", "1,2,3"]
    yield ["rest", CAR, "--rack", "200"]
    yield ["effects", CAR, "--rack", "2"]
    yield ["rest", CAR, "--ballast", "lead=5"]
    yield ["rest", CAR, "--bars", "middle"]
    yield ["rest", CAR, "--solid", "--tyres"]
    yield ["recipes", CAR, "--aim", "front_heigth=2 mm"]
    yield ["recipes", CAR, "--aim", "front_height=2 deg"]
    yield ["recipes", CAR, "--aim", "front_height=200 mm"]
    yield ["recipes", CAR, "--by", "camber=0"]
    yield ["recipes", CAR, "--keep", "toe"]
    yield ["try", *MORNING[:2], "front_left.track rod=2 flats"]
    yield ["try", *MORNING[:2], "front_left.track rad=+2 flats"]
    yield ["try", *MORNING[:2], "front_left.camber shim=+40 mm"]
    yield ["try", *MORNING[:2], "front_left.spring platform=+1 step"]
    yield ["try", *MORNING[:2], "front_left.upper front leg=+1 step", "front_left.upper rear leg=-1 half turn"]
    yield ["check", "readings.toml"]
    yield ["check", "nowhere.toml"]
    yield ["plan", CAR, "targets.toml", "readings.toml"]
    yield ["done", CAR, "card.json", "--out", "done.toml"]
    yield ["done", CAR, "card.json", "--out", "other.toml", *SETTINGS]
