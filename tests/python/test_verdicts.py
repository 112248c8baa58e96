"""What a plan, a trial and a check say first: doubts, and what was not read."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

import shimwise as sw
from shimwise import _core

ROOT = Path(__file__).resolve().parents[2]
FILES = ("car.toml", "readings.toml", "targets.toml")

# Each of these once gave a card with a chance above 0.75 and no word: file, what stood there, what is typed, the doubt.
ONCE_SILENT = {
    "a digit at a flag": ("readings", "front = 41.6, rear = 39.6", "front = 111.6, rear = 39.6", "front_left.flags_mm"),
    "pitch in inches": ("car", "pitch_mm = 1.5", "pitch_mm = 0.0492", 'front_left.adjuster "spring platform"'),
    "span": ("car", "flag_span_mm = 520.0", "flag_span_mm = 52.0", "setup_wheel.front.flag_span_mm"),
    "flags times 10": ("readings", "front = 43.8, rear = 41.2", "front = 438.0, rear = 412.0", "rear_left.flags_mm"),
    "thread": ("car", "M8x1.25", "M8x0.125", 'front_left.adjuster "track rod"'),
    "mm as degrees": ("targets", "toe = { value_deg = 0.10", "toe = { value_deg = 0.9", "front_left.toe"),
    "strings": (
        "readings",
        "rear_bar_mm = { left = 905.0, right = 905.0 }",
        "rear_bar_mm = { left = 950.0, right = 860.0 }",
        "strings.left",
    ),
    "pads": ("readings", "front_right = 0.1", "front_right = 10.1", "pads.height_mm.front_right"),
    "shims reversed": (
        "car",
        "direction = [0.0, -1.0, 0.0]",
        "direction = [0.0, 1.0, 0.0]",
        'front_left.adjuster "camber shim"',
    ),
    "pounds": ("readings", "scale_kg = 100.8", "scale_kg = 222.2", "scale_kg"),
    "a digit at a scale": ("readings", "scale_kg = 100.8", "scale_kg = 10.8", "front_left.scale_kg"),
    "a height read again": ("readings", "[29.4, 29.6]", "[29.4, 92.6]", "ride_heights_mm.front_right"),
    "a height out of plane": ("readings", "rear_left = 42.8", "rear_left = 62.8", "ride_heights_mm.rear_left"),
    "camber without its sign": ("readings", "camber_deg = -2.72", "camber_deg = 2.72", "front_left.camber_deg"),
    "toe as drawn": ("car", "toe_deg = 0.10", "toe_deg = 44.0", "front_left.wheel.toe_deg"),
    "centre of gravity in metres": ("car", "[-1420.0, 4.0, 285.0]", "[-1.42, 0.004, 0.285]", "mass.cg_mm"),
    "centre of gravity ahead": ("car", "[-1420.0, 4.0, 285.0]", "[1420.0, 4.0, 285.0]", "mass.cg_mm"),
    "drawn with": ("car", "drawn_with_mm = 3.0", "drawn_with_mm = 30.0", 'front_left.adjuster "camber shim"'),
}


@pytest.fixture
def morning(tmp_path: Path) -> Callable[..., Path]:
    """The demo's files in a folder of their own, one of them changed: morning("car", from, to)."""

    def written(kind: str = "", old: str = "", new: str = "") -> Path:
        for name, file in zip(FILES, sw.demo_files(), strict=True):
            text = file.read_text(encoding="utf-8")
            if name.startswith(kind) and kind:
                assert old in text
                text = text.replace(old, new, 1)
            (tmp_path / name).write_text(text, encoding="utf-8")
        return tmp_path

    return written


@pytest.mark.parametrize("kind", ONCE_SILENT)
def test_what_was_silent_is_doubted(morning: Callable[..., Path], kind: str) -> None:
    file, old, new, at = ONCE_SILENT[kind]
    folder = morning(file, old, new)
    car = sw.load_car(folder / "car.toml")
    measured = sw.load_readings(folder / "readings.toml", car).reduce()
    targets = sw.load_targets(folder / "targets.toml", car)
    found = _core.doubts(car.core) + _core.doubts(measured.core, car.core)
    found += _core.doubts(targets, measured.core, car.core)
    assert at in [doubt.at for doubt in found], [doubt.text for doubt in found]


def test_a_card_counts_its_doubts_on_its_first_page_and_has_them_in_full(
    morning: Callable[..., Path], shimwise: Callable
) -> None:
    morning("readings", "front = 41.6, rear = 39.6", "front = 111.6, rear = 39.6")
    out = shimwise("plan", *FILES).stdout
    page, _, rest = out.partition("STEPS")
    assert re.search(r"\nDoubtful \(\d+\), look again first at: .*front_left.flags_mm", page, re.DOTALL)
    words = " ".join(rest.split())
    assert "Doubts - readings.toml: front_left.flags_mm: toe read less that of the car file is 7.846 deg, usu" in words
    told = json.loads(shimwise("plan", *FILES, "--json").stdout)
    assert told["doubts"][0].startswith("readings.toml: front_left.flags_mm:")
    assert told["card"]["doubts"][0]["at"] == "front_left.flags_mm"


def test_check_and_try_say_their_doubts_first(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning("car", "flag_span_mm = 520.0", "flag_span_mm = 52.0")
    for words in (["check", FILES[0]], ["try", FILES[0], FILES[1], "front_left.track rod=+1 flat"]):
        out = shimwise(*words).stdout
        assert out.splitlines()[1].startswith("  ? car.toml: setup_wheel.front.flag_span_mm: the flags' span is 52 mm")
        assert "nothing wrong found" not in out
        assert "flag_span_mm" in json.loads(shimwise(*words, "--json").stdout)["doubts"][0]


def test_nothing_is_said_of_the_demo(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning()
    assert "Wren: nothing wrong found." in shimwise("check", FILES[0]).stdout
    for words in (["check", FILES[0]], ["plan", *FILES], ["try", *FILES[:2], "front_left.track rod=+1 flat"]):
        assert not {"doubts", "unread", "unpredicted"} & json.loads(shimwise(*words, "--json").stdout).keys()


def test_settings_that_lie_beside_are_doubted_until_they_are_named(
    morning: Callable[..., Path], shimwise: Callable
) -> None:
    folder = morning()
    car = sw.load_car(folder / FILES[0]).with_settings({"front_left.track rod": "1 flat"})
    _core.save_settings(car.settings, str(folder / "after.toml"))
    for words in (["check", FILES[0]], ["plan", *FILES], ["try", *FILES[:2], "front_left.track rod=+1 flat"]):
        assert "beside it lies after.toml" in " ".join(shimwise(*words).stdout.split())
        assert "beside it lies" not in shimwise(*words, "--settings", "after.toml").stdout
    (folder / "later.toml").write_bytes((folder / "after.toml").read_bytes())
    assert "beside it lie after.toml and later.toml with" in " ".join(shimwise("check", FILES[0]).stdout.split())


def test_nothing_read_is_no_verdict(morning: Callable[..., Path], shimwise: Callable) -> None:
    folder = morning()
    (folder / "readings.toml").write_text('format = "shimwise-readings/1"\n')
    out = shimwise("plan", *FILES, code=1).stdout
    assert "CARD  Wren\nTouch nothing: nothing that is asked for was read." in out
    assert out.startswith("Not judged, as nothing that was read answers it: front left camber,")
    assert "inside every tolerance" not in out
    told = json.loads(shimwise("plan", *FILES, "--json", code=1).stdout)
    assert told["chance_to_pass"]["nothing"] is None
    assert len(told["unread"]) == 14


def test_without_the_rack_line_front_toe_is_not_judged(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning("readings", 'rack = "locked at centre"', "")
    out = " ".join(shimwise("plan", *FILES).stdout.split())
    assert out.startswith("Not judged, as nothing that was read answers it: front left toe, front right toe.")
    assert "12 of 14 targets were read." in out
    assert "The chance is that of the 12 values that are asked for and were read, all together." in out
    told = json.loads(shimwise("plan", *FILES, "--json").stdout)
    assert told["unread"] == ["front_left.toe", "front_right.toe"]
    assert not told["plan"]["closest"]["within"]


def test_what_the_model_does_not_stand_for_is_not_counted_as_unread(
    morning: Callable[..., Path], shimwise: Callable
) -> None:
    morning("car", "total_kg = 498.0", "total_kg = 2498.0")
    out = " ".join(shimwise("plan", *FILES).stdout.split())
    assert out.startswith("Not judged, as the car does not stand by the model: ride height front left, ride height")
    assert "inside the tolerances of what is judged, by prediction; 8 of 14 targets are, as the car does not" in out
    assert "The chance is that of the 8 values that are asked for and were read and predicted, all together." in out
    told = json.loads(shimwise("plan", *FILES, "--json").stdout)
    assert len(told["unpredicted"]) == 6
    assert "unread" not in told


def test_a_plan_that_stays_outside_ends_with_1(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning()
    shimwise("plan", *FILES, "--within-minutes", "80")
    out = " ".join(shimwise("plan", *FILES, "--within-minutes", "20", code=1).stdout.split())
    assert "Closest plan, 20 minutes: NOT inside every tolerance by prediction." in out
    assert "one may be left that the search did not find, or one that takes longer than it may" in out


def test_docs_say_what_is_usual() -> None:
    page = (ROOT / "docs/doubts.md").read_text(encoding="utf-8")
    rows = [line for line in page.splitlines() if line.startswith("| ")]
    assert rows[2:] == [  # below the head and its rule
        f"| {u.what} | {u.least:g} to {u.most:g}{' ' + u.unit if u.unit else ''} | {u.matters} |"
        for u in _core.usual_list()
    ]


HEAD = 'format = "shimwise-targets/1"\n'
NONE_READ = "There is no chance to tell: nothing that is asked for was read."
ONE_READ = "The chance is that of the 1 value that is asked for and was read."
BY_MODEL = " In tolerance counts front left caster too, by the model."
ASKED: dict[str, tuple[str, str, str]] = {  # what is asked, whether touching nothing is inside, what the chance is of
    "nothing": ("", "", NONE_READ),
    "a weight alone": ("[car]\nfront_difference = { value_kg = 20.0 }\n", "no", ONE_READ),
    "total toe, outside": ("[car]\ntotal_toe_front = { value_deg = 0.0, tolerance_deg = 0.05 }\n", "no", ONE_READ),
    "total toe, inside": ("[car]\ntotal_toe_front = { value_deg = 0.5, tolerance_deg = 0.4 }\n", "yes", ONE_READ),
    "caster alone": ("[front_left]\ncaster = { least_deg = 4.0 }\n", "yes", NONE_READ + BY_MODEL),
}


@pytest.mark.parametrize("asked", ASKED)
def test_a_verdict_covers_no_more_than_what_is_asked(
    morning: Callable[..., Path], shimwise: Callable, asked: str
) -> None:
    text, inside, covered = ASKED[asked]
    folder = morning()
    (folder / "targets.toml").write_text(HEAD + text)
    out = shimwise("plan", *FILES).stdout
    assert covered in " ".join(out.split())
    told = json.loads(shimwise("plan", *FILES, "--json").stdout)
    assert told["plan"]["nothing"]["within"] == (inside != "no")
    (row,) = [line.replace("touch nothing", "") for line in out.splitlines() if "touch nothing" in line]
    assert {word for word in row.split() if word in ("yes", "no")} == ({inside} if inside else set())


@pytest.mark.parametrize(
    ("was", "typed", "said"),
    [
        ("scale_kg = 100.8", "scale_kg = [100.8, 110.8]", "front_left.scale_kg: spread of one scale read again"),
        ("camber_deg = -2.72", "camber_deg = [-2.72, -1.72]", "front_left.camber_deg: spread of one gauge reading"),
        ("front = 41.6,", "front = [41.6, 45.6],", "front_left.flags_mm: spread of one flag read again"),
    ],
)
def test_repeats_that_contradict_are_doubted(
    morning: Callable[..., Path], shimwise: Callable, was: str, typed: str, said: str
) -> None:
    morning("readings", was, typed)
    assert said in " ".join(shimwise("plan", *FILES).stdout.split())


def test_a_pack_read_beyond_its_limit_is_doubted(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning("readings", '"camber shim" = [2.0, 1.0]', '"camber shim" = [2.0, 2.0, 2.0, 1.0]')
    said = " ".join(shimwise("plan", *FILES).stdout.split())
    assert (
        "- readings.toml: front_left.camber shim: as it was read, limits_mm excludes the stack of 7 mm: allowed are 0"
        " to 6. The reading or the limit is wrong; a plan keeps to the limit." in said
    )


def test_bar_torque_is_no_toe(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning("targets", "[car]", "[car]\nfront_bar_torque = { value_Nm = 0.0, tolerance_Nm = 1.0 }")
    assert "tolerance of toe" not in shimwise("plan", *FILES).stdout


def test_a_misspelled_camber_is_told_its_name(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning("readings", "camber_deg = -2.72", "camber = -2.72")
    assert "camber_deg" in shimwise("plan", *FILES, code=2).stderr


def test_a_car_built_beyond_reach_says_no_nan(morning: Callable[..., Path], shimwise: Callable) -> None:
    folder = morning()
    car = folder / "car.toml"
    text = re.sub(r"load_at_drawn_N = [0-9.]+", "rests_as_drawn = true", car.read_text())
    car.write_text(text + '\n[built_off_mm]\n"front_left.track_rod.inner" = [0.0, 0.0, 200.0]\n')
    said = shimwise("rest", "car.toml", code=1).stderr
    assert "nan" not in said
    assert "front_left" in said


def test_pads_that_twist_are_said_where_weights_are_read(morning: Callable[..., Path], shimwise: Callable) -> None:
    morning("readings", "height_mm = { front_left = 0.0", "height_mm = { front_left = 3.0")
    assert "The pads twist by +3.0 mm (front left and rear right high)" in " ".join(
        shimwise("read", *FILES[:2]).stdout.split()
    )
