"""`shimwise new`: a starter car that answers every command, filled from a stranger's table of points."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import numpy as np
import pytest

import shimwise as sw
from shimwise import _core
from shimwise.points.invented import FRONT, REAR, placed
from shimwise.points.rows import PointRow, PointsTable
from shimwise.points.starter import FILES, Starter, make_starter, write_starter
from shimwise.points.table import load_points

Points = dict[str, tuple[float, float, float]]
Run = Callable[..., "subprocess.CompletedProcess[str]"]
ROCKER = tuple(_core.rocker_rows())
CORNERS = {"front_left": FRONT, "rear_left": REAR}


def rows_of(points: Points, corner: str) -> str:
    return "".join(f"{corner};{name};{x};{y};{z}\n" for name, (x, y, z) in points.items())


def plan_of(paths: list[Path]) -> sw.Plan:
    car = sw.load_car(paths[0])
    return sw.plan(car, sw.load_readings(paths[1], car).reduce(), sw.load_targets(paths[2], car))


def test_the_starter_answers_the_commands_that_it_names(shimwise: Run, tmp_path: Path) -> None:
    told = shimwise("new", "my car").stdout
    commands = [line.strip() for line in told.splitlines() if line.startswith("  shimwise")]
    assert [words.split()[1] for words in commands] == ["check", "effects", "sheet", "plan"]
    for command in commands:
        words = command.replace("'", "").replace("my car/", "my_car/").split()
        done = shimwise(*[word.replace("my_car/", "my car/") for word in words[1:]])
        assert done.stdout.strip()
    car = sw.load_car(tmp_path / "my car/car.toml")
    assert car.name == "My car"
    for left, right in (("front_left", "front_right"), ("rear_left", "rear_right")):
        assert car.corners[left].effects().equals(car.corners[right].effects())


def test_every_line_with_an_invented_number_says_so(shimwise: Run, tmp_path: Path) -> None:
    shimwise("new", "mycar")
    silent = []
    for name in FILES:
        text = (tmp_path / "mycar" / name).read_text(encoding="utf-8")
        assert "INVENTED" in text.partition("format =")[0]
        silent += [line for line in text.splitlines() if re.match(r"[^#]*=[^#]*\d", line) and "INVENTED" not in line]
    assert silent == [
        'format = "shimwise-car/1"',
        "direction = [0.0, 1.0, 0.0]              # the way it moves, to the left",
        'format = "shimwise-readings/1"',
        'format = "shimwise-targets/1"',
    ]
    text = (tmp_path / "mycar/car.toml").read_text(encoding="utf-8")
    assert not {word for name in ("wren", "Wren") for word in text.split() if name in word}


def test_nothing_is_written_over_and_nothing_half(shimwise: Run, tmp_path: Path) -> None:
    (tmp_path / "mycar").mkdir()
    (tmp_path / "mycar/targets.toml").write_text("mine", encoding="utf-8")
    refused = shimwise("new", "mycar", code=2).stderr
    assert refused == f"{Path('mycar/targets.toml')}: exists already and is not written over\n"
    assert [path.name for path in (tmp_path / "mycar").iterdir()] == ["targets.toml"]
    assert (tmp_path / "mycar/targets.toml").read_text(encoding="utf-8") == "mine"
    (tmp_path / "mycar/car.toml").write_text("mine", encoding="utf-8")
    assert len(shimwise("new", "mycar", code=2).stderr.splitlines()) == 2
    assert shimwise("new", "mycar/targets.toml", code=2).stderr.endswith(": is a file, a folder is needed\n")


def test_a_disk_that_fills_up_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = _core.write_new_file

    def full(path: str, text: str) -> None:
        if path.endswith("targets.toml"):
            raise OSError(28, "No space left on device", path)
        write(path, text)

    monkeypatch.setattr(_core, "write_new_file", full)
    (tmp_path / "mine").mkdir()
    for folder in (tmp_path / "mine", tmp_path / "a/b"):
        with pytest.raises(sw.InputError, match=f"{folder}: cannot be written: No space left on device"):
            write_starter(make_starter("Robin"), folder)
    assert [path.name for path in tmp_path.rglob("*")] == ["mine"]


def test_a_new_folder_is_not_there_before_it_has_all_three(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = _core.write_new_file

    def watched(path: str, text: str) -> None:
        write(path, text)
        assert not (tmp_path / "a").exists()

    monkeypatch.setattr(_core, "write_new_file", watched)
    write_starter(make_starter("Robin"), tmp_path / "a/b")
    assert sorted(path.name for path in (tmp_path / "a/b").iterdir()) == ["car.toml", "readings.toml", "targets.toml"]
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


@pytest.mark.parametrize("there", [True, False])
def test_of_two_that_begin_in_one_folder_one_wins_and_the_other_is_told(tmp_path: Path, there: bool) -> None:
    starters = [make_starter("Robin"), make_starter("Wagtail")]
    for race in range(40):
        folder = tmp_path / str(race)
        if there:
            folder.mkdir()
        together = Barrier(2)

        def begin(starter: Starter, folder: Path = folder, together: Barrier = together) -> str:
            together.wait()
            try:
                write_starter(starter, folder)
            except sw.InputError as error:
                return str(error)
            return ""

        with ThreadPoolExecutor(2) as pool:
            told = list(pool.map(begin, starters))
        winner = starters[told.index("")]
        assert re.search("exists already|Directory not empty", "".join(told))
        assert {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()} == winner.texts
    assert len(list(tmp_path.iterdir())) == 40


def test_a_name_is_a_name(shimwise: Run, tmp_path: Path) -> None:
    shimwise("new", "mycar", "--name", 'Étoile "7" \\ $name')
    assert sw.load_car(tmp_path / "mycar/car.toml").name == 'Étoile "7" \\ $name'
    for name in ("", "a\nb"):
        assert "needs a name in printable letters" in shimwise("new", "other", "--name", name, code=2).stderr
    assert not (tmp_path / "other").exists()


def test_a_strangers_table_fills_the_car(shimwise: Run, tmp_path: Path) -> None:
    """Semicolons, another origin, the left side alone, in no order, without springs: nothing else is asked."""
    points = {
        f"{corner};{name}": (x * 1.1 + 1200.0, y * 1.1, z + 415.0)
        for corner, own in CORNERS.items()
        for name, (x, y, z) in own.items()
        if name not in ROCKER
    }
    rows = [f"{key};{x!r};{y!r};{z!r}" for key, (x, y, z) in sorted(points.items(), key=lambda item: hash(item[1]))]
    (tmp_path / "odd.csv").write_text("corner;point;x_mm;y_mm;z_mm\n" + "\n".join(rows), encoding="utf-8")
    told = " ".join(shimwise("new", "car", "--points", "odd.csv", "--name", "Robin").stdout.split())
    assert "18 points taken from odd.csv" in told
    assert f"still invented: front_left {', '.join(ROCKER)}; rear_left {', '.join(ROCKER)}." in told
    assert "front_left.track_rod.inner is taken to move with the rack" in told

    text = (tmp_path / "car/car.toml").read_text(encoding="utf-8")
    content = tomllib.loads(text)
    for key, at in points.items():
        corner, _, name = key.partition(";")
        part, _, end = name.partition(".")
        assert tuple(content[corner][part][end]) == at
        line = next(number for number, row in enumerate(rows, start=2) if row.startswith(f"{key};"))
        assert f"# odd.csv, line {line}\n" in text
    for name in ("pushrod", "rocker"):
        table = text.split(f"[front_left.{name}]")[1].split("\n[")[0]
        assert table.count("INVENTED") == len([point for point in ROCKER if point.startswith(name)])
    for words in (["check", "car/car.toml"], ["effects", "car/car.toml"], ["plan", *(f"car/{f}" for f in FILES)]):
        shimwise(*words)


def test_json_says_what_is_invented(shimwise: Run, tmp_path: Path) -> None:
    (tmp_path / "points.csv").write_text(
        "corner;point;x_mm;y_mm;z_mm\n" + rows_of({k: v for k, v in FRONT.items() if k not in ROCKER}, "front_left"),
        encoding="utf-8",
    )
    content = json.loads(shimwise("new", "car", "--points", "points.csv", "--json").stdout)
    assert content["inputs"].keys() == {"points.csv"}
    assert content["invented_points"] == [f"front_left.{p}" for p in ROCKER] + [f"rear_left.{p}" for p in REAR]
    assert [Path(file).name for file in content["files"]] == list(FILES)
    assert all((tmp_path / file).is_file() for file in content["files"])


def test_an_axle_without_rows_is_said_in_one_word(shimwise: Run, tmp_path: Path) -> None:
    (tmp_path / "points.csv").write_text(
        "corner;point;x_mm;y_mm;z_mm\n" + rows_of(FRONT, "front_left"), encoding="utf-8"
    )
    told = " ".join(shimwise("new", "car", "--points", "points.csv").stdout.split())
    assert "still invented: all of rear_left." in told


def test_a_table_that_does_not_fit_writes_nothing(shimwise: Run, tmp_path: Path) -> None:
    bad = FRONT | {"upper_wishbone.outer": (0.0, 100.0, 300.0)}
    (tmp_path / "points.csv").write_text("corner;point;x_mm;y_mm;z_mm\n" + rows_of(bad, "front_left"), encoding="utf-8")
    refused = shimwise("new", "car", "--points", "points.csv", code=2).stderr
    assert refused == (
        "points.csv:5: front_left.upper_wishbone.outer = [0.0, 100.0, 300.0]: lies inboard of its wishbone's pickups\n"
    )
    assert not (tmp_path / "car").exists()


def table_of(**corners: Points) -> PointsTable:
    rows = {
        corner: {name: PointRow(2 + number, at) for number, (name, at) in enumerate(points.items())}
        for corner, points in corners.items()
    }
    return PointsTable("points.csv", rows)


def car_of(table: PointsTable, folder: Path) -> tuple[sw.Car, dict[str, dict[str, dict[str, object]]]]:
    paths = write_starter(make_starter("Robin", table), folder)
    return sw.load_car(paths[0]), tomllib.loads(paths[0].read_text(encoding="utf-8"))


def test_a_corner_that_cannot_be_set_is_named() -> None:
    long = FRONT | {"pushrod.outer": (0.0, 515.0, 500.0)}  # nearly in one line with the rocker's arm
    with pytest.raises(sw.InputError) as raised:
        make_starter("Robin", table_of(front_left=long, rear_left=REAR))
    assert str(raised.value).startswith(
        "points.csv:2: front_left: a step of an adjuster cannot be made with these points: the pull rod does not reach"
        " the rocker: it is 0.065 mm too short; the smallest change that closes it, of one link alone: pull rod 0.07 mm"
        " longer, or upper wishbone's rear leg 0.13 mm shorter, or "
    )


def test_a_spring_on_the_wishbone_needs_no_rocker(tmp_path: Path) -> None:
    eyes = {"spring.outer": (0.0, 470.0, 125.0), "spring.chassis": (0.0, 300.0, 430.0)}
    table = table_of(front_left={k: v for k, v in FRONT.items() if k not in ROCKER} | eyes)
    starter = make_starter("Robin", table)
    assert starter.to_check[0] == (
        "front_left.spring.outer is taken to sit on the lower wishbone, whose outer joint is nearest (98 mm away):"
        " check its outer_on."
    )
    assert not [point for point in starter.invented if point.startswith("front_left")]
    car, content = car_of(table, tmp_path)
    assert not {"pushrod", "rocker"} & content["front_left"].keys()
    assert {"pushrod", "rocker"} <= content["rear_left"].keys()
    assert content["front_left"]["spring"]["outer"] == [0.0, 470.0, 125.0]
    assert [a.name for a in car.front_left.adjusters] == ["track rod", "camber shim", "spring platform"]


def test_right_rows_give_a_right_side(tmp_path: Path) -> None:
    right = {"track_rod.outer": (96.0, -550.0, 143.0), "spring.chassis": (0.0, -20.0, 445.0)}
    car, content = car_of(table_of(front_left=FRONT, front_right=right), tmp_path)
    assert content["front_right"]["track_rod"] == {"outer": [96.0, -550.0, 143.0]}
    damper, drawn_mm = content["front_right"]["damper"], 258.2
    assert float(str(damper["shortest_mm"])) < drawn_mm < float(str(damper["longest_mm"]))
    assert content["front_left"]["damper"] != damper
    joints = car.front_right.joints()
    assert joints["track_rod.outer"].values.tolist() == pytest.approx([96.0, -550.0, 143.0])
    assert joints["track_rod.inner"].values.tolist() == pytest.approx([85.0, -218.0, 146.0])
    assert "rear_right" not in content


def test_a_drop_link_of_the_table_is_kept(tmp_path: Path) -> None:
    eyes = {"spring.outer": (-2395.0, 470.0, 125.0), "spring.chassis": (-2395.0, 300.0, 430.0)}
    rear = {k: v for k, v in REAR.items() if k not in ROCKER} | eyes | {"drop_link.outer": (-2395.0, 400.0, 120.0)}
    front = FRONT | {"rocker.drop_link": (0.0, 230.0, 375.0)}
    _, content = car_of(table_of(front_left=front, rear_left=rear), tmp_path)
    assert content["front_left"]["rocker"]["drop_link"] == [0.0, 230.0, 375.0]
    assert content["rear_left"]["drop_link"] == {"outer": [-2395.0, 400.0, 120.0], "outer_on": "lower_wishbone"}


def test_invented_points_go_where_the_known_ones_are() -> None:
    def moved(at: tuple[float, float, float]) -> tuple[float, float, float]:
        return 1.2 * at[0] + 1200.0, 1.1 * at[1] - 5.0, 0.9 * at[2] + 415.0

    known = {point: moved(at) for point, at in FRONT.items() if point not in ROCKER}
    front, rear = placed(known, {})
    for point in ("pushrod.outer", "rocker.spring", "spring.chassis"):
        assert front[point] == pytest.approx(moved(FRONT[point]), abs=0.051)
    assert front["rocker.axis_direction"] == (1.0, 0.0, 0.0)
    assert front["wheel.centre"] == known["wheel.centre"]
    (front_x, _, _), (rear_x, rear_y, rear_z) = front["wheel.centre"], rear["wheel.centre"]
    assert rear_x - front_x == pytest.approx(REAR["wheel.centre"][0], abs=0.051)
    assert (rear_y, rear_z) == pytest.approx(moved(REAR["wheel.centre"])[1:], abs=0.051)


def test_any_sensible_table_gives_a_car_and_a_plan(tmp_path: Path, size: Callable[[int, int], int]) -> None:
    """Other origins, sizes and proportions, and other parts left out."""
    for case in range(size(24, 240)):
        rng = np.random.default_rng(case)
        left_out = [(), ROCKER, ("wheel.centre",), ROCKER, ("front",)][case % 5]
        table = {
            corner: {point: at for point, at in points.items() if point not in left_out}
            for corner, points in _same_car(rng).items()
            if corner == "front_left" or left_out != ("front",)
        }
        if left_out == ROCKER and case % 2:
            for points in table.values():
                (x, y, z), (_, inner_y, top_z) = points["lower_wishbone.outer"], points["upper_wishbone.front"]
                points |= {"spring.outer": (x, 0.85 * y, z + 20.0), "spring.chassis": (x, 0.9 * inner_y, top_z + 120.0)}
        paths = write_starter(make_starter(f"Robin {case}", table_of(**table)), tmp_path / str(case))
        assert not plan_of(paths).refusals, case


def _same_car(rng: np.random.Generator) -> dict[str, Points]:
    """Both axles stretched and shifted alike, as in one drawing, every point a little off."""
    shift = rng.uniform((-3000.0, 0.0, -500.0), (3000.0, 0.0, 1000.0))
    stretch = rng.uniform((0.9, 0.75, 0.7), (1.2, 1.5, 1.4))

    def moved(at: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = np.asarray(at) * stretch + shift + rng.uniform(-8.0, 8.0, 3)
        return float(x), float(y), float(z)

    return {
        corner: {point: at if point == "rocker.axis_direction" else moved(at) for point, at in own.items()}
        for corner, own in CORNERS.items()
    }


def test_help_lists_the_points(shimwise: Run) -> None:
    told = " ".join(shimwise("new", "--help").stdout.split())
    assert ", ".join(_core.table_point_names()) in told


def test_shimwise_alone_names_what_to_do_first(shimwise: Run) -> None:
    told = shimwise().stdout
    assert re.findall(r"^  (\d)  shimwise (\w+)", told, re.MULTILINE) == [
        ("1", "new"), ("2", "check"), ("3", "sheet"), ("4", "plan")
    ]  # fmt: skip
    assert max(map(len, told.splitlines())) <= 80
    assert "Usage:" in shimwise("--help").stdout


@pytest.mark.parametrize("words", [[], ["new", "mycar"], ["sheet", "car.toml"], ["sheet", "car.toml", "--toml"]])
def test_no_heavy_package_delays_the_first_output(words: list[str], tmp_path: Path) -> None:
    write_starter(make_starter("Robin"), tmp_path)
    code = (
        "import sys\nfrom shimwise.cli import commands\n"
        "commands.main(sys.argv[1:], standalone_mode=False)\n"
        "print([name for name in ('pandas', 'xarray', 'matplotlib') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *words], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_the_tables_of_this_file_are_read_as_written(tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text("corner;point;x_mm;y_mm;z_mm\n" + rows_of(REAR, "rear_left"), encoding="utf-8")
    assert {p: row.at for p, row in load_points(path).rows["rear_left"].items()} == REAR
