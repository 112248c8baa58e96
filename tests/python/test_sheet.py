"""`shimwise sheet`: every field that a car's readings take, no other; empty it reads nothing, filled all of it."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

import shimwise as sw
from shimwise import _core
from shimwise.data_of import data_of
from shimwise.points.starter import make_starter, write_starter
from shimwise.views.sheet import sheet_text, sheet_toml

Run = Callable[..., "subprocess.CompletedProcess[str]"]
ROOT = Path(__file__).resolve().parents[2]
BLANK = re.compile(r"^# (\S.* = .*___.*?)(?:  +# (.*))?$")


@pytest.fixture(params=["demo", "starter"])
def either(request: pytest.FixtureRequest, tmp_path: Path) -> sw.Car:
    if request.param == "demo":
        return sw.demo_car()
    return sw.load_car(write_starter(make_starter("Robin"), tmp_path / "starter")[0])


def filled(line: str) -> str:
    """A line of a sheet with its blanks filled: a word that its note allows, a date, its length and a bit, or 30."""
    match = BLANK.match(line)
    if not match:
        return line
    field, note = match[1], match[2] or ""
    number = re.search(r": ([\d.]+) as", note)
    if '"___"' in field:
        return field.replace("___", re.split(r",? or ", note)[0])
    if field.startswith("at ="):
        return field.replace("___", "2026-05-02")
    return field.replace("___", str(float(number[1]) + 1.0) if number else "30.0")


def read(text: str, car: sw.Car, path: Path) -> sw.Readings:
    path.write_text(text, encoding="utf-8")
    return sw.load_readings(path, car)


def test_an_empty_sheet_loads_and_nothing_is_read(either: sw.Car, tmp_path: Path) -> None:
    readings = read(sheet_toml(_core.sheet(either.core)), either, tmp_path / "sheet.toml")
    assert readings.reduce().keys == []
    assert (readings.core.place, readings.core.at, readings.core.remarks) == ("", "", "")


def test_a_filled_sheet_is_read_whole(either: sw.Car, tmp_path: Path) -> None:
    sheet = sheet_toml(_core.sheet(either.core))
    text = "\n".join(filled(line) for line in sheet.splitlines())
    assert "___" not in text.partition("format")[2]
    measured = read(text, either, tmp_path / "sheet.toml").reduce()
    corners = list(either.corners)
    wanted = {f"{corner}.{what}" for corner in corners for what in ("toe", "camber", "weight")}
    assert wanted | {f"ride_height.{point}" for point in corners} <= set(measured.keys)
    assert not [note for note in measured.notes if "not read" in note or "not given" in note]
    lengths = sum(len(corner.lengths) for corner in _core.sheet(either.core).corners.values())
    assert len([note for note in measured.notes if "eye to eye as read" in note and "is used" in note]) == lengths
    assert len([note for note in measured.notes if "is fitted as read" in note]) == len(corners)


def test_the_reader_takes_every_field_of_the_sheet(either: sw.Car, tmp_path: Path) -> None:
    """Each line alone, with what no field can hold: the reader says so, at that line."""
    lines = sheet_toml(_core.sheet(either.core)).splitlines()
    fields = [number for number, line in enumerate(lines) if BLANK.match(line)]
    assert len(fields) > 30
    for number in fields:
        broken = [*lines]
        broken[number] = lines[number].removeprefix("# ").partition(" = ")[0] + " = true"
        with pytest.raises(sw.InputError) as raised:
            read("\n".join(broken), either, tmp_path / "sheet.toml")
        assert {problem.line for problem in raised.value.problems} == {number + 1}
        assert not re.search(r"is not a key here|: is no ", str(raised.value))  # it knows the field


def test_the_sheet_has_every_field_of_the_reader() -> None:
    readers = ("readings", "repeated", "instruments_read", "gauge_checks", "again")
    files = (ROOT / f"cpp/src/workshop/files/{name}.cpp" for name in readers)
    source = "".join(file.read_text(encoding="utf-8") for file in files)
    keys = set(re.findall(r'\b(?:read\w*|choice\w*|tables?|has|demand_instrument)\((?:\w+, )?"(\w+)"', source))
    assert {"flags_mm", "packing_mm", "heights_from", "lengths_mm", "turned"} <= keys
    with_skid = sw.load_car(sw.demo_car().as_dict() | {"skid_new_mm": 25.0})
    keys.remove("again")  # the same fields once more
    assert not keys - set(re.findall(r"\w+", sheet_toml(_core.sheet(with_skid.core))))
    assert "SKID BOARD, thickness now, mm __" in sheet_text(_core.sheet(with_skid.core))


def test_paper_and_file_have_the_same_fields(either: sw.Car) -> None:
    sheet = _core.sheet(either.core)
    text = sheet_text(sheet)
    assert max(map(len, text.splitlines())) <= 80
    for corner in sheet.corners.values():
        for name in [*corner.shims_mm, *(word for turned in corner.lengths.values() for word in turned.adjusters)]:
            assert re.search(rf"^  .*{name}.*____", text, re.MULTILINE), name
    for name in [*sheet.ballast_kg, *(name.replace("_", " ") for name in sheet.ride_heights)]:
        assert re.search(rf"^  {name}.*____", text, re.MULTILINE), name
    heights_twice, cambers_turned, by_whom, boxes_to_tick = 4, 4, 1, 4
    on_paper = len(re.findall(r"____+", text)) - heights_twice - cambers_turned - by_whom + boxes_to_tick
    assert on_paper == sheet_toml(sheet).partition("format")[2].count("___")


def test_lengths_and_shims_are_those_that_are_set(shimwise: Run, tmp_path: Path) -> None:
    car = sw.load_car(write_starter(make_starter("Robin"), tmp_path)[0])
    before = _core.sheet(car.core).corners["front_left"]
    changed = car.with_settings({"front_left.track rod": 0.5, "front_left.camber shim": [2.0, 0.5]})
    after = _core.sheet(changed.core).corners["front_left"]
    lead_mm = 2 * 1.25
    assert after.lengths["track_rod"].now_mm - before.lengths["track_rod"].now_mm == pytest.approx(0.5 * lead_mm)
    assert data_of(after.lengths["pushrod"]) == data_of(before.lengths["pushrod"])
    assert after.shims_mm == {"camber shim": [2.0, 0.5]}
    (tmp_path / "settings.toml").write_text(
        'format = "shimwise-settings/1"\ncar = "Robin"\n[shims_mm]\n"front_left.camber shim" = [2.0, 0.5]\n',
        encoding="utf-8",
    )
    told = json.loads(shimwise("sheet", "car.toml", "--settings", "settings.toml", "--json").stdout)
    assert told["corners"]["front_left"]["shims_mm"] == {"camber shim": [2.0, 0.5]}
    assert told["inputs"].keys() == {"car.toml", "settings.toml"}


INSTRUMENTS = {
    "[instruments.flag_ruler]": ("flags_mm", "Flags: the car file gives no [instruments] flag_ruler."),
    "[instruments.camber_gauge]": ("camber", "Camber: the car file gives no [instruments] camber_gauge."),
    "[instruments.height_gauge]": (
        "ride_heights_mm",
        "Ride heights: the car file gives no [instruments] height_gauge.",
    ),
    "[instruments.scale]": ("scale_kg", "Scales: the car file gives no [instruments] scale."),
    "[instruments.pad_level]": ("height_mm", "Pads: the car file gives no [instruments] pad_level."),
    "[strings]": ("front_bar_mm", "Strings: the car file gives no [strings] bars_apart_mm."),
}


@pytest.mark.parametrize("table", INSTRUMENTS)
def test_what_the_car_cannot_have_read_is_not_asked(table: str, tmp_path: Path) -> None:
    path = write_starter(make_starter("Robin"), tmp_path)[0]
    head, _, rest = path.read_text(encoding="utf-8").partition(table)
    path.write_text(head + rest[rest.index("\n\n") :], encoding="utf-8")
    car = sw.load_car(path)
    sheet = _core.sheet(car.core)
    key, sentence = INSTRUMENTS[table]
    assert key not in sheet_toml(sheet).replace("camber shim", "")
    assert sheet.left_out == [sentence]
    assert sentence in sheet_text(sheet)
    text = "\n".join(filled(line) for line in sheet_toml(sheet).splitlines())
    assert read(text, car, tmp_path / "sheet.toml").reduce().keys


def test_an_axle_without_flags_has_none_on_the_sheet(tmp_path: Path) -> None:
    path = write_starter(make_starter("Robin"), tmp_path)[0]
    text = path.read_text(encoding="utf-8")
    text = re.sub(r"(rear = \{ radius_mm.*), flag_span_mm = 500.0", r"\1", text)
    path.write_text(re.sub(r'inner_moves = "rack"', 'inner_moves = "fixed"', text), encoding="utf-8")
    car = sw.load_car(path)
    sheet = _core.sheet(car.core)
    assert [corner.flags for corner in sheet.corners.values()] == [True, True, False, False]
    assert sheet.left_out == ["Flags at every wheel: the car file gives no setup_wheel flag_span_mm at each axle."]
    assert "rack:" not in sheet_text(sheet)
    read("\n".join(filled(line) for line in sheet_toml(sheet).splitlines()), car, tmp_path / "sheet.toml")


def test_names_that_need_quotes(tmp_path: Path) -> None:
    path = write_starter(make_starter("Robin"), tmp_path)[0]
    text = path.read_text(encoding="utf-8")
    for old, new in {
        'name = "Robin"': r'name = "Robin\n[state]"',
        'name = "driver"': r'name = "sand.bag \"1\"\t#"',
        'name = "track rod"': r'name = "rod\nA"',
        'name = "camber shim"': r'name = "Sturz # oben\n"',
        "front_left = { at_mm": '"nose = 1_left" = { at_mm',
        'front = "front_left"': 'front = "nose = 1_left"',
    }.items():
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    car = sw.load_car(path)
    for lines in (
        sheet_toml(_core.sheet(car.core)),
        "\n".join(map(filled, sheet_toml(_core.sheet(car.core)).splitlines())),
    ):
        read(lines, car, tmp_path / "sheet.toml")
    paper = sheet_text(_core.sheet(car.core)).splitlines()
    assert max(map(len, paper)) <= 80
    assert paper[0] == "Readings of Robin [state]"


def test_a_sheet_is_written_as_a_new_file(shimwise: Run, tmp_path: Path) -> None:
    path = write_starter(make_starter("Robin"), tmp_path)[0]
    told = shimwise("sheet", "car.toml", "--toml", "--out", "friday.toml").stdout
    assert told == "friday.toml: an empty readings sheet of Robin.\n"
    assert shimwise("sheet", "car.toml", "--toml").stdout == (tmp_path / "friday.toml").read_text(encoding="utf-8")
    assert "exists already" in shimwise("sheet", "car.toml", "--out", "friday.toml", code=2).stderr
    sw.load_readings(tmp_path / "friday.toml", sw.load_car(path))
    assert "Readings of Robin" in shimwise("sheet", "car.toml").stdout
    assert "nowhere.toml: there is no such file" in shimwise("sheet", "nowhere.toml", code=2).stderr
