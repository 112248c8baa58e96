"""A table of points: what is tolerated, and the sentence for every fault."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import shimwise as sw
from shimwise import _core
from shimwise.points.starter import make_starter
from shimwise.points.table import load_points

HEADER = "corner, point, x_mm, y_mm, z_mm"
TABLE = f"""{HEADER}
front_left, wheel.centre,         1203.0, 605.0, 251.5
front_left, upper_wishbone.front, 1318.0, 264.0, 342.0
front_left, upper_wishbone.rear,  1080.0, 262.0, 335.0
front_left, upper_wishbone.outer, 1190.0, 540.0, 356.0
front_left, lower_wishbone.front, 1350.0, 205.0, 141.0
front_left, lower_wishbone.rear,  1052.0, 204.0, 137.0
front_left, lower_wishbone.outer, 1208.0, 570.0, 132.0
front_left, track_rod.inner,      1287.0, 222.0, 176.0
front_left, track_rod.outer,      1298.0, 556.0, 172.0
"""
ROCKER = """front_left, pushrod.outer, 1203, 520, 150
front_left, pushrod.inner, 1203, 318, 431
front_left, rocker.axis_point, 1203, 273, 405
front_left, rocker.axis_direction, 1, 0, 0
front_left, rocker.spring, 1203, 282, 465
front_left, spring.chassis, 1203, 82, 476
"""


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def sentences(text: str | bytes) -> list[str]:
    """What is said about a table, and about the car that it fills."""
    Path("points.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(sw.InputError) as raised:
        make_starter("Robin", load_points("points.csv"))
    assert [str(problem) for problem in raised.value.problems] in ([], str(raised.value).splitlines())
    return str(raised.value).splitlines()


def edited(old: str, new: str, table: str = TABLE) -> str:
    assert table.count(old) == 1
    return table.replace(old, new)


def turned(table: str, column: int) -> str:
    """The table with the other sign in a column."""
    header, *rows = [line.split(",") for line in table.splitlines()]
    for cells in rows:
        cells[column] = str(-float(cells[column]))
    return "\n".join(",".join(cells) for cells in [header, *rows]) + "\n"


FAULTS = {
    "unknown corner": (
        edited("front_left, wheel.centre", "front_lefft, wheel.centre"),
        'points.csv:2: corner = "front_lefft": is no corner; did you mean "front_left"?',
    ),
    "corner's short name": (
        edited("front_left, wheel.centre", "FL, wheel.centre"),
        'points.csv:2: corner = "FL": is no corner; known are front_left, front_right, rear_left, rear_right',
    ),
    "unknown point, one near": (
        edited("track_rod.inner", "trackrod.inner"),
        'points.csv:9: point = "trackrod.inner": is no point; did you mean "track_rod.inner"?',
    ),
    "a line end inside a cell": (
        edited("605.0", "60\v5"),
        'points.csv:2: y_mm = "60 5": is not a number',
    ),
    "unknown point, none near": (
        f"{TABLE}front_left, damper, 1203, 300, 400\n",
        'points.csv:11: point = "damper": is no point; `shimwise new --help` lists them',
    ),
    "missing column": (
        TABLE.replace(HEADER, "corner, point, x_mm, y_mm"),
        'points.csv:1: column = "z_mm": is missing: needs corner, point, x_mm, y_mm, z_mm',
    ),
    "misspelt column": (
        TABLE.replace(HEADER, "corner, point, x_mm, y_m, z_mm"),
        'points.csv:1: column = "y_m": is not known; did you mean "y_mm"?',
        'points.csv:1: column = "y_mm": is missing: needs corner, point, x_mm, y_mm, z_mm',
    ),
    "extra column": (
        TABLE.replace(HEADER, f"{HEADER}, note"),
        'points.csv:1: column = "note": is not known: take it out',
    ),
    "column twice": (
        TABLE.replace(HEADER, "corner, point, x_mm, y_mm, y_mm, z_mm"),
        'points.csv:1: column = "y_mm": stands twice',
    ),
    "no header": (
        TABLE.partition("\n")[2],
        "points.csv:1: is not the header corner, point, x_mm, y_mm, z_mm",
    ),
    "tabs": (
        TABLE.replace(", ", "\t"),
        f"points.csv:1: is not the header {HEADER}: here tabs part the columns, needs commas or semicolons",
    ),
    "not a number": (edited("605.0", "6o5"), 'points.csv:2: y_mm = "6o5": is not a number'),
    "unit": (edited("605.0", "605 mm"), 'points.csv:2: y_mm = "605 mm": is not a number: leave mm away'),
    "empty cell": (edited("605.0", ""), "points.csv:2: y_mm: is empty: needs a number"),
    "nan": (edited("605.0", "NaN"), 'points.csv:2: y_mm = "NaN": is not a finite number'),
    "infinite": (edited("605.0", "-inf"), 'points.csv:2: y_mm = "-inf": is not a finite number'),
    "too large for a number": (
        edited("605.0", "1e999"),
        'points.csv:2: y_mm = "1e999": lies more than 20 m from the origin: needs mm',
    ),
    "decimal comma between semicolons": (
        edited("605.0", "605,0").replace(", ", "; "),
        'points.csv:2: y_mm = "605,0": has a decimal comma: write 605.0',
    ),
    "decimal commas throughout": (
        re.sub(r"(\d)\.(\d)", r"\1,\2", TABLE.replace(", ", "; ")),
        'points.csv:2: x_mm = "1203,0": has a decimal comma, and so have 26 more numbers: save the table with points',
    ),
    "decimal comma between commas": (
        edited("605.0, 251.5", "605,0, 251,5"),
        "points.csv:2: has 7 cells, the header has 5: a number has a point, not a decimal comma",
    ),
    "too few cells": (edited("1203.0, 605.0, 251.5", "1203.0"), "points.csv:2: has 3 cells, the header has 5"),
    "open quote": (
        edited("front_left, wheel.centre", '"front_left, wheel.centre'),
        "points.csv:2: has a quote that is not closed, or text beside one",
    ),
    "row twice": (
        f"{TABLE}front_left, wheel.centre, 1203, 605, 251\n",
        "points.csv:11: front_left.wheel.centre: stands in line 2 already",
    ),
    "header again": (f"{TABLE}{HEADER}\n", "points.csv:11: is the header again"),
    "wrong side": (
        edited("605.0", "-605.0"),
        "points.csv:2: front_left.wheel.centre y_mm = -605: is on the wrong side: y is above 0 on the left",
    ),
    "wrong side on the right": (
        f"{TABLE}front_right, wheel.centre, 1203, 605, 251\n",
        "points.csv:11: front_right.wheel.centre y_mm = 605: is on the wrong side: y is below 0 on the right",
    ),
    "y to the right everywhere": (
        turned(TABLE, 3),
        "points.csv: every y is on the wrong side: y points to the left here, turn the sign of the whole column",
    ),
    "x to the rear everywhere": (
        turned(TABLE, 2),
        "points.csv: every wishbone's front lies behind its rear: x points forward, turn the sign of the whole column",
    ),
    "front joint behind the rear one": (
        edited("1318.0", "1018.0"),
        "points.csv:3: front_left.upper_wishbone: front must lie ahead of rear (x forward) (lines 3, 4 and 5)",
    ),
    "rear axle ahead": (
        f"{TABLE}rear_left, wheel.centre, 3600, 600, 250\n",
        "points.csv:11: rear_left.wheel.centre x_mm = 3600: must lie behind the front axle (x 1203 in line 2)",
    ),
    "joint inboard": (
        edited("540.0", "24"),
        "points.csv:5: front_left.upper_wishbone.outer = [1190.0, 24.0, 356.0]: lies inboard of its wishbone's pickups",
    ),
    "upper joint below": (
        edited("356.0", "56.0"),
        "points.csv:5: front_left.upper_wishbone.outer = [1190.0, 540.0, 56.0]: must lie above lower_wishbone.outer",
    ),
    "half a wishbone": (
        "".join(line + "\n" for line in TABLE.splitlines() if "upper_wishbone.rear" not in line),
        "points.csv:3: front_left: without upper_wishbone.rear: a wishbone is given whole or not at all",
    ),
    "half a track rod": (
        "".join(line + "\n" for line in TABLE.splitlines() if "track_rod.outer" not in line),
        "points.csv:9: front_left: without track_rod.outer: a track rod is given whole or not at all",
    ),
    "half a rocker": (
        TABLE + "".join(line + "\n" for line in ROCKER.splitlines() if "axis_direction" not in line),
        "points.csv:11: front_left: without rocker.axis_direction: pushrod, rocker and spring are given together",
    ),
    "rocker and direct spring": (
        f"{TABLE}{ROCKER}front_left, spring.outer, 1203, 500, 150\n",
        "points.csv:17: front_left.spring.outer: a spring on a rocker has its outer eye at rocker.spring",
    ),
    "drop link beside a rocker": (
        f"{TABLE}{ROCKER}front_left, drop_link.outer, 1203, 500, 150\n",
        "points.csv:17: front_left.drop_link.outer: with a rocker the drop link is at rocker.drop_link",
    ),
    "one eye of a spring": (
        f"{TABLE}front_left, spring.outer, 1203, 500, 150\n",
        "points.csv:11: front_left: without spring.chassis: a spring without rocker is given by both eyes",
    ),
    "axis without direction": (
        TABLE + ROCKER.replace("1, 0, 0", "0, 0, 0"),
        "points.csv:14: front_left.rocker.axis_direction = [0.0, 0.0, 0.0]: is a zero vector: it has no direction",
    ),
    "right row without its left one": (
        f"{TABLE}front_right, pushrod.outer, 1203, -520, 150\n",
        "points.csv:11: front_right.pushrod.outer: is given on the right alone: front_left needs it too, or neither",
    ),
    "right corner without its left one": (
        turned(TABLE.replace("front_left", "front_right"), 3),
        "points.csv:2: front_right: is given without front_left: turn the sign of y, and call the rows front_left",
    ),
    "metres": (
        f"{HEADER}\nfront_left, wheel.centre, 0, 0.605, 0.25\n",
        "points.csv: no number is beyond 0.605: are they metres? x_mm, y_mm and z_mm are in mm",
    ),
    "inches": (
        f"{HEADER}\nfront_left, wheel.centre, 47.4, 23.8, 9.9\n",
        "points.csv: no number is beyond 47.4: are they inches or centimetres? x_mm, y_mm and z_mm are in mm",
    ),
    "micrometres": (
        edited("1203.0", "1203000"),
        'points.csv:2: x_mm = "1203000": lies more than 20 m from the origin: needs mm',
    ),
    "no row": (f"{HEADER}\n", "points.csv:1: no row follows the header: needs one for each point"),
    "empty": ("\n , ,\n", f"points.csv: is empty: needs the header {HEADER}, and a row for each point"),
    "not text": (b"PK\x03\x04\0\0", "points.csv: is not a text file: save the table as CSV, in UTF-8"),
    "not UTF-8": (
        f"{TABLE}# Sj\xf6berg\n".encode("latin-1"),
        "points.csv:11: is not UTF-8 text: save the table as CSV, in UTF-8",
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_gets_its_sentence(fault: str) -> None:
    table, *said = FAULTS[fault]
    assert sentences(table) == said


def test_all_faults_come_at_once() -> None:
    table = edited("605.0", "wide").replace("front_left, track_rod.inner", "front_left, track_rod.iner")
    assert sentences(f"{table}rear_left, wheel.centre, -1200\n") == [
        'points.csv:2: y_mm = "wide": is not a number',
        'points.csv:9: point = "track_rod.iner": is no point; did you mean "track_rod.inner"?',
        "points.csv:11: has 3 cells, the header has 5",
    ]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(sw.InputError, match=r"^nowhere\.csv: there is no such file$"):
        load_points("nowhere.csv")
    with pytest.raises(sw.InputError, match=r": is a folder, a table of points is needed$"):
        load_points(tmp_path)


@pytest.mark.parametrize(
    "change",
    [
        lambda text: "\ufeff" + text,
        lambda text: text.replace(", ", ";"),
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace(",", " ,\t"),
        lambda text: text.replace("\n", ",,,\n"),
        lambda text: text.replace(HEADER, "Corner, Point, X_mm, Y_mm, Z_mm"),
        lambda text: f"# invented\n\n{text}\n,,,,\n# the end\n",
        lambda text: text.replace("605.0", '"+6.05e2"'),
        lambda text: "\n".join(
            ",".join([cells[4], *cells[:4]]) for line in text.splitlines() if (cells := line.split(","))
        ),
    ],
    ids=["mark", "semicolons", "line ends", "spaces", "empty ends", "capitals", "comments", "quotes", "order"],
)
def test_what_spreadsheets_do_is_tolerated(change) -> None:  # type: ignore[no-untyped-def]
    Path("points.csv").write_bytes(change(TABLE).encode())
    found = load_points("points.csv")
    Path("plain.csv").write_text(TABLE, encoding="utf-8")
    plain = load_points("plain.csv")
    assert {p: r.at for p, r in found.rows["front_left"].items()} == {
        p: r.at for p, r in plain.rows["front_left"].items()
    }
    assert plain.rows["front_left"]["wheel.centre"].at == (1203.0, 605.0, 251.5)
    assert len(plain.rows["front_left"]) == 9


def test_the_points_are_those_of_the_car_file() -> None:
    names = _core.table_point_names()
    assert len(names) == 18
    assert names[names.index("rocker.axis_point") + 1] == "rocker.axis_direction"
