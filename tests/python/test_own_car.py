"""A stranger's own car: pull rods are seen, INVENTED can be cleared, a loop that is open says what closes it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from test_new import Points, Run, table_of

import shimwise as sw
from shimwise import _core
from shimwise.points.invented import FRONT, REAR
from shimwise.points.starter import FILES, make_starter, write_starter

PULL = {  # down from the upper wishbone to a rocker by the floor
    "pushrod.outer": (0.0, 500.0, 330.0),
    "pushrod.inner": (0.0, 301.0, 110.0),
    "rocker.axis_point": (0.0, 255.0, 150.0),
    "rocker.axis_direction": (1.0, 0.0, 0.0),
    "rocker.spring": (0.0, 258.0, 205.0),
    "spring.chassis": (0.0, 65.0, 210.0),
}


def written(folder: Path, **corners: Points) -> Path:
    return write_starter(make_starter("Robin", table_of(**corners)), folder)[0]


@pytest.fixture
def pull_rods(tmp_path: Path) -> Path:
    """Pull rods in front, pushrods behind."""
    return written(tmp_path, front_left=FRONT | PULL, rear_left=REAR)


def squeezed(text: str) -> str:
    return " ".join(text.split())


# Pull rods ------------------------------------------------------------------------------------------------------------


def test_new_puts_a_rod_on_the_body_whose_outer_joint_is_nearest(shimwise: Run, tmp_path: Path) -> None:
    x, y, z = REAR["track_rod.outer"]
    on_upright = REAR | {"pushrod.outer": (x + 30.0, y, z)}
    rows = [
        f"{corner},{point},{','.join(map(repr, at))}"
        for corner, points in (("front_left", FRONT | PULL), ("rear_left", on_upright))
        for point, at in points.items()
    ]
    (tmp_path / "points.csv").write_text("corner,point,x_mm,y_mm,z_mm\n" + "\n".join(rows), encoding="utf-8")
    told = squeezed(shimwise("new", "car", "--points", "points.csv").stdout)
    assert (
        "- front_left.pushrod.outer, of a pull rod, is taken to sit on the upper wishbone, whose outer joint is nearest"
        " (37 mm away): check its outer_on." in told
    )
    assert (
        "- rear_left.pushrod.outer is taken to sit on the upright, whose track_rod.outer is nearest (30 mm away): check"
        " its outer_on." in told
    )
    car = sw.load_car(tmp_path / "car/car.toml")
    assert [c.has_pull_rod for c in car.corners.values()] == [True, True, False, False]
    assert car.core.corner(_core.CornerId.front_right).pushrod_outer_on == _core.Body.upper_wishbone
    assert car.core.corner(_core.CornerId.rear_left).pushrod_outer_on == _core.Body.upright
    assert [a.name for a in car.front_left.adjusters][2] == "pull rod"
    assert [a.name for a in car.rear_left.adjusters][2] == "pushrod"


def test_a_right_side_of_its_own_has_its_own_carrier(tmp_path: Path) -> None:
    right = {name: (x, -y, z) for name, (x, y, z) in FRONT.items() if name in PULL}
    starter = make_starter("Robin", table_of(front_left=FRONT | PULL, front_right=right, rear_left=REAR))
    assert [s for s in starter.to_check if s.startswith("front_right.pushrod.outer is taken to sit on the lower wish")]
    car = sw.load_car(write_starter(starter, tmp_path)[0])
    assert car.core.corner(_core.CornerId.front_right).pushrod_outer_on == _core.Body.lower_wishbone


def test_words_and_pictures_say_pull_rod(shimwise: Run, tmp_path: Path, pull_rods: Path) -> None:
    told = squeezed(shimwise("check", pull_rods.name, "--plot", "car.svg").stdout)
    for left_right in ("front_left", "front_right"):
        assert re.search(rf"{left_right}: [^:]*, pull rod on the upper wishbone", told)
    assert not re.search("rear_left: [^:]*, p[^:]*rod", told)
    assert "Robin: nothing wrong found" in told
    drawn = (tmp_path / "car.svg").read_text(encoding="utf-8")
    assert "<!-- pull rod -->" in drawn
    assert "<!-- pushrod -->" in drawn
    front = shimwise("forces", pull_rods.name, "--corner", "front_left").stdout
    assert re.search(r"^  pull rod +\+[\d,]+ +tension *$", front, re.MULTILINE)
    assert "bent: it carries the pull rod" in front
    assert "pushrod" not in front
    rear = shimwise("forces", pull_rods.name, "--corner", "rear_left").stdout
    assert re.search(r"^  pushrod +-[\d,]+ +compression *$", rear, re.MULTILINE)


def test_refusals_say_pull_rod(shimwise: Run, pull_rods: Path) -> None:
    text = pull_rods.read_text(encoding="utf-8")
    long = text.replace("limits_turns = [-5.0, 5.0]", "limits_turns = [-90.0, 90.0]").replace("engaged_mm = 22.0", "")
    long = re.sub("\nleast_engaged_mm = 15.0.*", "", long)
    start = long.index('name = "pull rod"')
    long = long[:start] + long[start:].replace("minutes", "now_turns = 60.0\nminutes", 1)
    pull_rods.write_text(long, encoding="utf-8")
    told = squeezed(shimwise("effects", pull_rods.name, code=1).stderr)
    assert re.search(r"front_left: the pull rod does not reach the rocker: it is \d+\.\d+ mm too long", told)
    assert re.search(r"of one link alone: pull rod \d+\.\d\d mm shorter", told)
    assert "pushrod" not in told


# Doubts ---------------------------------------------------------------------------------------------------------------


def doubts_after(path: Path, *changes: tuple[str, str]) -> list[str]:
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    changed = path.with_name("changed.toml")
    changed.write_text(text, encoding="utf-8")
    return sw.load_car(changed).doubts


def test_the_wrong_wishbone_is_doubted(pull_rods: Path) -> None:
    found = doubts_after(pull_rods, ('outer_on = "upper_wishbone"', 'outer_on = "lower_wishbone"'))
    assert any("front_left.pushrod.outer_on" in d and "outer_on is likely the other wishbone" in d for d in found)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("spring = [0.0, 258.0, 205.0]", "spring = [0.0, 250.0, 145.0]", "the motion ratio at rest is -0.06"),
        (
            "spring = [0.0, 258.0, 205.0]",
            "spring = [0.0, 258.0, 152.0]",
            "the frequency of a corner on its spring is 0.1224 Hz",
        ),
        ("axis_direction = [1.0, 0.0, 0.0]", "axis_direction = [0.2, 1.0, 0.0]", "out of the plane across the rocker"),
        ("rate_N_per_mm = 80.0", "rate_N_per_mm = 1400.0", "the frequency of a corner"),
        ("axis_point = [0.0, 255.0, 150.0]", "axis_point = [0.0, -255.0, 150.0]", "the rocker's axis point"),
    ],
)
def test_what_no_car_has_is_doubted(pull_rods: Path, old: str, new: str, words: str) -> None:
    assert not doubts_after(pull_rods)
    found = doubts_after(pull_rods, (old, new))
    assert any(words in doubt for doubt in found), found


def test_a_spring_that_goes_much_farther_than_the_wheel_is_doubted(pull_rods: Path) -> None:
    eyes = ("spring = [0.0, 258.0, 205.0]", "spring = [0.0, 250.0, 419.0]"), ("65.0, 210.0]", "60.0, 419.0]")
    assert any("the motion ratio at rest is 2.55" in doubt for doubt in doubts_after(pull_rods, *eyes))


# INVENTED -------------------------------------------------------------------------------------------------------------


def notes_of(shimwise: Run, folder: str) -> list[str]:
    told = json.loads(shimwise("plan", *(f"{folder}/{name}" for name in FILES), "--json").stdout)
    return [note for note in told["notes"] if "INVENTED" in note]


def test_the_last_line_that_is_made_ones_own_ends_the_warning(shimwise: Run, tmp_path: Path) -> None:
    shimwise("new", "mine")
    path = tmp_path / "mine/car.toml"

    def note() -> str:
        return " ".join(n for n in json.loads(shimwise("check", "mine/car.toml", "--json").stdout)["notes"])

    lines = path.read_text(encoding="utf-8").splitlines()
    marked = [number for number, line in enumerate(lines) if "INVENTED" in line and not line.startswith("#")]
    assert note().startswith(f"mine/car.toml: {len(marked)} lines still say INVENTED")
    lines[marked[0]] = lines[marked[0]].partition("#")[0]  # the marker taken away
    lines[marked[1]] = lines[marked[1]].replace("INVENTED", "mine")  # or typed over
    path.write_text("\n".join(lines), encoding="utf-8")
    assert f": {len(marked) - 2} lines still say" in note()
    for number in marked[2:-1]:
        lines[number] = lines[number].partition("#")[0]
    path.write_text("\n".join(lines), encoding="utf-8")
    assert ": 1 line still says INVENTED" in note()
    lines[marked[-1]] = lines[marked[-1]].partition("#")[0]
    path.write_text("\n".join(lines), encoding="utf-8")
    assert "INVENTED" in path.read_text(encoding="utf-8")  # in the file's own words at its head
    assert note() == ""


def test_readings_and_targets_are_cleared_alike(shimwise: Run, tmp_path: Path) -> None:
    shimwise("new", "mine")
    assert "still say" in squeezed(shimwise("plan", *(f"mine/{name}" for name in FILES)).stdout)
    for name in FILES:
        path = tmp_path / "mine" / name
        lines = path.read_text(encoding="utf-8").splitlines()
        cleared = [line if line.startswith("#") else line.replace("INVENTED", "mine") for line in lines]
        path.write_text("\n".join(cleared), encoding="utf-8")
    assert "INVENTED" not in shimwise("plan", *(f"mine/{name}" for name in FILES)).stdout


# A loop that does not close -------------------------------------------------------------------------------------------


def test_the_change_that_is_said_closes_the_loop_and_less_does_not(pull_rods: Path) -> None:
    """Every link that is named, longer or shorter by what is said, in the file itself."""
    short = pull_rods.read_text(encoding="utf-8")
    short = re.sub(r"\n(least_)?engaged_mm = .*|\nlimits_turns = .*", "", short)
    start = short.index("[[front_left.adjuster]]")
    short = short[:start] + short[start:].replace("minutes", "now_turns = -40.0\nminutes", 1)

    def refusal(link: str, by_mm: float) -> str:
        extra = (
            "\n[[front_left.adjuster]]\nname = 'more'\n"
            f"changes = '{link}'\npurpose = 'toe'\npitch_mm = 1.0\nends = 'one'\nlocks = 'anywhere'\n"
            f"counted_in = 'turn'\nnow_turns = {by_mm!r}\nsettable_turns = 0.01\nminutes = 4\n"
        )
        pull_rods.write_text(short + extra, encoding="utf-8")
        try:
            sw.load_car(pull_rods).front_left.alignment()
        except sw.OutOfReach as why:
            return str(why)
        return ""

    told = refusal("track_rod", 0.0)
    assert told.startswith("front_left: the track rod does not reach its joint on the upright: it is ")
    named = re.findall(r"(?:alone: |or )(.*?) (\d+\.\d\d) mm (longer|shorter)", told)
    assert {name for name, _, _ in named} >= {"track rod", "lower wishbone's front leg"}
    keys = {"track rod": "track_rod", "pull rod": "pushrod"}
    for name, amount, way in named:
        link = keys.get(name) or name.replace(" wishbone's ", "_wishbone.").replace(" leg", "_leg")
        sign = 1.0 if way == "longer" else -1.0
        assert refusal(link, sign * float(amount)) == "", name
        assert refusal(link, sign * (float(amount) - 0.01)) != "", name
