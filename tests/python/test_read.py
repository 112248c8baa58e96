"""`shimwise read`, and what Python gives of a sheet of readings."""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

import shimwise as sw
from shimwise.cli import commands

DEMO = sw.demo_files()


@pytest.fixture(scope="module")
def readings(car: sw.Car) -> sw.Readings:
    return sw.load_readings(DEMO.readings, car)


def read(sheet: Path, *more: str) -> Result:
    return CliRunner().invoke(commands, ["read", str(DEMO.car), str(sheet), *more])


def on_one_line(result: Result) -> str:
    return " ".join(result.output.split())


def changed(folder: Path, before: str, after: str) -> Path:
    text = DEMO.readings.read_text(encoding="utf-8")
    assert before in text
    sheet = folder / "readings.toml"
    sheet.write_text(text.replace(before, after), encoding="utf-8")
    return sheet


def test_every_value_stands_once_with_what_it_is_made_of(readings: sw.Readings) -> None:
    said = read(DEMO.readings).output
    rows = [line for line in said.splitlines() if "%" in line.partition("made of")[0] and line.startswith("  ")]
    assert len(rows) == len(readings.reduce().keys)
    assert "  toe                      0.220 deg 0.0130 0.0114 flags 48%, string ends 23%" in said
    assert max(map(len, said.splitlines())) <= 80


def test_json_holds_the_open_model(readings: sw.Readings) -> None:
    said, measured = json.loads(read(DEMO.readings, "--json").stdout), readings.reduce()
    assert [value["key"] for value in said["values"]] == measured.keys
    assert [given["key"] for given in said["input_quantities"]] == list(measured.inputs)
    np.testing.assert_array_equal(said["by_input_quantities"], measured.by_inputs)
    for value in said["values"]:
        assert sum(value["made_of"].values()) == pytest.approx(1.0, abs=1e-12)
        assert 0.0 < value["anew"] <= value["uncertainty"]


def test_covariance_follows_from_inputs_and_derivatives(readings: sw.Readings) -> None:
    measured = readings.reduce()
    u = measured.input_frame()["uncertainty"].to_numpy()
    by = measured.by_inputs * u
    np.testing.assert_allclose(by @ by.T, measured.covariance, rtol=0.0, atol=1e-15)
    given = measured.inputs["front_left.flags.front"]
    assert given.unit == "mm"
    assert given.uncertainty == pytest.approx(np.hypot(given.anew.standard, given.stays.standard), abs=1e-16)
    assert measured.within_95 is None


def test_draws_agree_with_the_law_within_their_own_error(readings: sw.Readings) -> None:
    law, drawn = readings.reduce(), readings.reduce("monte carlo", draws=20_000, seed=5)
    u = np.sqrt(np.diag(law.covariance))
    np.testing.assert_array_less(np.abs(drawn.values - law.values) / u, 5.0 / np.sqrt(20_000))
    np.testing.assert_allclose(np.sqrt(np.diag(drawn.covariance)) / u, 1.0, atol=5.0 / np.sqrt(2 * 20_000))
    assert drawn.within_95 is not None
    np.testing.assert_allclose((drawn.within_95[:, 1] - drawn.within_95[:, 0]) / (2.0 * 1.96 * u), 1.0, atol=0.05)
    again = readings.reduce("monte carlo", draws=20_000, seed=5)
    np.testing.assert_array_equal(again.values, drawn.values)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda one: one.reduce("by hand"), r"method = 'by hand': is not known"),
        (lambda one: one.reduce("mont carlo"), r'did you mean "monte carlo"'),
        (lambda one: one.reduce("monte carlo", draws=999), r"draws = 999: needs a whole number from 1,000"),
        (lambda one: one.reduce("monte carlo", draws=True), r"draws = True: needs a whole number"),
        (lambda one: one.reduce("monte carlo", draws=1e5), r"draws = 100000.0: needs a whole number"),
        (lambda one: one.reduce("monte carlo", seed=-1), r"seed = -1: needs a whole number from 0"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    readings: sw.Readings, call: Callable[[sw.Readings], object], said: str
) -> None:
    with pytest.raises(sw.InputError, match=said):
        call(readings)


def test_strings_are_a_finding(tmp_path: Path) -> None:
    straight = "front_bar_mm = { left = 905.0, right = 905.0 }"
    said = on_one_line(read(DEMO.readings))
    assert "left string: parallel to the centre line, u 0.006 deg." in said
    assert "rear bar: the strings lie centred, u 0.2 mm." in said
    said = on_one_line(read(changed(tmp_path, straight, "front_bar_mm = { left = 905.01, right = 905.01 }")))
    assert "left string: parallel" in said
    assert "front bar: the strings lie centred" in said
    said = on_one_line(read(changed(tmp_path, straight, "front_bar_mm = { left = 906.0, right = 903.0 }")))
    assert "left string: 0.015 deg wider at the front, u 0.006 deg; taken off the toes beside it." in said
    assert "right string: 0.029 deg wider at the rear" in said
    assert "front bar: the strings lie 1.5 mm left of centre, u 0.2 mm." in said
    said = on_one_line(read(changed(tmp_path, straight, "front_bar_mm = { left = 905.2, right = 905.0 }")))
    assert "left string: 0.003 deg wider at the front" in said
    assert "less sure than itself: set it anew." in said


def test_nothing_read_says_so_and_no_more_than_is_true(tmp_path: Path) -> None:
    sheet = tmp_path / "empty.toml"
    sheet.write_text('format = "shimwise-readings/1"\n', encoding="utf-8")
    result = read(sheet)
    assert result.exit_code == 0
    assert "Nothing follows from this sheet: see the notes." in result.output
    assert "The sheet itself" not in result.output
    assert "Toe and camber to the ground" not in result.output


def test_what_plus_means_is_said_of_what_follows_alone(tmp_path: Path) -> None:
    sheet = tmp_path / "rear.toml"
    sheet.write_text(
        'format = "shimwise-readings/1"\nrear_left.flags_mm = { front = 41.0, rear = 40.0 }\n', encoding="utf-8"
    )
    said = on_one_line(read(sheet))
    assert "Toe and camber to the ground: the plane through the four contacts as drawn." in said
    assert "at the next reading. Plus is toe-in (toe)." in said
    sheet.write_text('format = "shimwise-readings/1"\nrear_left.scale_kg = 150.0\n', encoding="utf-8")
    said = on_one_line(read(sheet))
    assert "rear left weight 150.0 kg" in said
    assert "Plus is" not in said
    assert "Toe and camber to the ground" not in said


def test_sixty_columns_fold_what_values_are_made_of_once(readings: sw.Readings) -> None:
    wide, narrow = readings.read().text(), readings.read().text(width=60)
    assert narrow.split("Notes")[0].split() == wide.split("Notes")[0].split()
    rows = narrow.splitlines()
    assert max(map(len, rows)) <= 70
    folded = [row.startswith(" " * 40) for row in rows[5:]]
    assert any(folded)
    assert not any(first and second for first, second in itertools.pairwise(folded))


def test_doubts_stand_first(tmp_path: Path) -> None:
    result = read(changed(tmp_path, "scale_kg = 100.8", "scale_kg = 10.8"))
    assert result.output.startswith("Doubtful. Look again before anything is turned:\n  ? ")
    assert json.loads(read(tmp_path / "readings.toml", "--json").stdout)["doubts"]


def test_a_sheet_of_flags_alone_says_nothing_of_a_gauge(car: sw.Car) -> None:
    sheet = sw.load_readings(
        {"format": "shimwise-readings/1", "front_left": {"flags_mm": {"front": 41.0, "rear": 40.0}}}, car
    )
    said = sheet.read().text()
    assert "Camber gauge" not in said
    assert "string:" not in said
    with pytest.raises(sw.InputError, match="width"):
        sheet.read().text(width=0)


CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
WELL_KNOWN = """
[known]
toe_deg = 0.03
camber_deg = 0.03
places_mm = 0.3
total_kg = 0.5
total_at_mm = 2.0
rods_mm = 0.1
pushrods_mm = 0.5
platforms_mm = 0.5
"""


@pytest.mark.parametrize(
    ("known", "before", "after", "said"),
    [
        ("", "", "", "a good fit (chi-square 1.3, p 1.000). - nothing is wrong: chance 0.91."),
        (
            "",
            "camber_deg = -2.72",
            "camber_deg = 2.72",
            "no fit (chi-square 234.9, p below 0.001). - the camber",
        ),
        (WELL_KNOWN, "", "", "a poor fit (chi-square 73.0, p below 0.001). - the two flags of rear right are exch"),
        (WELL_KNOWN, "front = 43.8, rear = 41.2", "front = 41.2, rear = 43.8", "no fit (chi-square 125.8,"),
    ],
)
def test_how_the_sheet_fits_the_car_is_said_in_words(
    tmp_path: Path, known: str, before: str, after: str, said: str
) -> None:
    own = tmp_path / "car.toml"
    own.write_text(DEMO.car.read_text(encoding="utf-8") + known, encoding="utf-8")
    told = CliRunner().invoke(commands, ["read", str(own), str(changed(tmp_path, before, after))])
    assert f"20 values beside the car at rest: {said}" in on_one_line(told)
    assert ("Doubtful." in told.output) == ("p 1.000" not in said)


def test_a_sheet_of_another_day_is_doubted_beside_every_other_doubt(tmp_path: Path) -> None:
    own = tmp_path / "car.toml"
    text = DEMO.car.read_text(encoding="utf-8").replace(
        "now_turns = 0.0\nengaged_mm = 20.0", "now_turns = 0.5\nengaged_mm = 20.0"
    )
    own.write_text(text + WELL_KNOWN, encoding="utf-8")
    sheet = changed(tmp_path, "[29.4, 29.6]", "[28.6, 30.4]")
    told = on_one_line(CliRunner().invoke(commands, ["read", str(own), str(sheet)]))
    assert "spread of one height read again" in told
    assert "the car is not set or loaded as settings and sheet say, or the sheet is of another day:" in told


def test_what_was_not_read_explains_nothing(tmp_path: Path) -> None:
    sheet = tmp_path / "readings.toml"
    flags = "".join(
        f"[{name}]\nflags_mm = {{ front = 60.0, rear = {52.0 + 2 * i} }}\n" for i, name in enumerate(CORNERS)
    )
    sheet.write_text(f'format = "shimwise-readings/1"\n[state]\nrack = "locked at centre"\n{flags}', encoding="utf-8")
    own = tmp_path / "car.toml"
    own.write_text(DEMO.car.read_text(encoding="utf-8") + WELL_KNOWN, encoding="utf-8")
    told = on_one_line(CliRunner().invoke(commands, ["read", str(own), str(sheet)]))
    assert "Doubtful" in told
    assert "strings left" not in told
    assert "strings.front_bar_mm" not in told


def test_one_value_alone_leaves_nothing_else_to_fit(tmp_path: Path) -> None:
    sheet = tmp_path / "readings.toml"
    sheet.write_text('format = "shimwise-readings/1"\n[ride_heights_mm]\nfront_left = 52.0\n', encoding="utf-8")
    told = on_one_line(read(sheet))
    assert "1 value beside the car at rest: no fit" in told
    assert "ride height front left is read about" in told
    assert "not all that does not fit" not in told
    assert "camber is corrected" not in told
    assert "gravity" not in told


def test_a_slip_is_named_beside_a_number_that_is_doubted_by_itself(tmp_path: Path) -> None:
    told = on_one_line(read(changed(tmp_path, "camber_deg = -2.72", "camber_deg = 2.72")))
    assert told.index("usually -1 to 1 deg") < told.index(
        "the camber of front left has the wrong sign: more than a million"
    )


def test_packs_that_are_not_those_of_the_settings_are_doubted(tmp_path: Path) -> None:
    front_left = 'scale_kg = 100.8\nshims_mm = { "camber shim" = [2.0, 1.0] }'
    one = changed(tmp_path, front_left, front_left.replace("1.0]", "0.5, 0.2]"))
    assert "other packs were read" not in read(one).output
    two = changed(tmp_path, '"camber shim" = [2.0, 1.0]', '"camber shim" = [2.0, 0.5, 0.2]')
    assert "at 4 places other packs were read than those of the settings" in on_one_line(read(two))


def test_a_check_of_another_day_is_said_and_doubted(tmp_path: Path) -> None:
    sheet = changed(tmp_path, "camber_gauge_deg =", "at = 2026-03-01T08:00:00Z\ncamber_gauge_deg =")
    told = on_one_line(read(sheet))
    assert "gauge_check: the gauge was checked on 2026-03-01, the sheet is of 2026-05-02" in told
    assert "too much by the check of 2026-03-01; that is taken off." in told
    assert "too much by this morning's check" in on_one_line(read(DEMO.readings))
