"""Pictures of curves: what is drawn are the numbers behind it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import xarray as xr
from figures import CORNERS, edited, overlaps, panel, texts_of
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

import shimwise as sw
from shimwise.plots.curve_panels import PANELS


def test_curves_are_the_numbers_of_the_dataset(car: sw.Car) -> None:
    travel, rack = np.linspace(-25.0, 20.0, 19), np.linspace(-15.0, 10.0, 11)
    figure = sw.plots.curves(car.front_left, travel_mm=travel, rack_mm=rack)
    for along, values in (("travel_mm", travel), ("rack_mm", rack)):
        data = car.front_left.curves(**{along: values})
        first_of = {f"{along} {panel.title}": panel.variables[0] for panel in PANELS}
        drawn = {}
        for ax in figure.axes:
            first = first_of.get(ax.get_gid() or "")
            if first is None:
                continue
            assert ax.get_xlim() == (values.min(), values.max())
            for curve in ax.lines:
                if (label := curve.get_label()) in (*data, "front_left"):
                    np.testing.assert_array_equal(curve.get_xdata(), values)
                    drawn[first if label == "front_left" else label] = curve.get_ydata()
        assert drawn.keys() == {str(name) for name in data}  # every output
        for name, curve in drawn.items():
            np.testing.assert_array_equal(curve, data[name], err_msg=name)


def test_a_panel_says_unit_and_sign(car: sw.Car) -> None:
    ax = panel(sw.plots.curves(car.front_left), "travel_mm toe")
    assert ax.get_title(loc="left") == "toe, deg"
    assert "+ = front of the wheel toward the centre line" in ax.texts[0].get_text().replace("\n", " ")
    assert ax.get_xlabel() == "wheel travel, mm (+ = wheel up)"
    ax = panel(sw.plots.curves(car.front_left), "travel_mm motion ratio")
    assert ax.get_title(loc="left") == "motion ratio"
    assert "(spring length change)/(contact height change)" in ax.texts[0].get_text().replace("\n", " ")


def test_corners_of_a_car_are_told_apart_where_they_cover_each_other(car: sw.Car) -> None:
    figure = sw.plots.curves(car, travel_mm=[-10.0, 0.0, 10.0], rack_mm=[-5.0, 5.0])
    lines = {c.get_label(): c for c in panel(figure, "travel_mm camber").lines if c.get_label() in CORNERS}
    for corner in CORNERS:
        data = car.corners[corner].curves(travel_mm=[-10.0, 0.0, 10.0])
        np.testing.assert_array_equal(lines[corner].get_ydata(), data.camber_deg)
    for axle in ("front", "rear"):
        left, right = lines[f"{axle}_left"], lines[f"{axle}_right"]
        assert left.get_linewidth() > 2.0 * right.get_linewidth()
        assert left.get_zorder() < right.get_zorder()
        assert to_rgb(left.get_color())[0] > 0.5 > to_rgb(right.get_color())[0]
    assert lines["front_left"].get_linestyle() == lines["front_right"].get_linestyle() == "-"
    assert lines["rear_left"].get_linestyle() == lines["rear_right"].get_linestyle() == "--"
    steered = {c.get_label() for c in panel(figure, "rack_mm toe").lines if c.get_label() in CORNERS}
    assert steered == {"front_left", "front_right"}
    assert [text.get_text() for text in figure.legends[0].get_texts()] == [c.replace("_", " ") for c in CORNERS]


def test_only_what_a_dataset_has_is_drawn() -> None:
    travel = np.linspace(-1.0, 1.0, 5)
    names = ["wheel_rate_N_per_mm", "wheel_rate_spring_N_per_mm", "wheel_rate_load_N_per_mm", "roll_centre_height_mm"]
    data = xr.Dataset(
        {name: ("travel_mm", travel * i, {"units": "N/mm"}) for i, name in enumerate(names, 1)},
        coords={"travel_mm": travel},
    )
    figure = sw.plots.draw_curves({"front_left": data}, "invented")
    assert {ax.get_gid() for ax in figure.axes} == {"travel_mm wheel rate", "travel_mm roll centre height"}
    ax = panel(figure, "travel_mm wheel rate")
    for name in names[:3]:
        np.testing.assert_array_equal(next(c for c in ax.lines if c.get_label() == name).get_ydata(), data[name])
    assert [text.get_text() for text in ax.get_legend().get_texts()] == names[:3]
    styles = {(c.get_linewidth(), str(c.get_linestyle())) for c in ax.lines if c.get_label() in names}
    assert len(styles) == 3
    two = sw.plots.draw_curves({"front_left": data, "rear_left": data})
    drawn = [c.get_label() for c in panel(two, "travel_mm wheel rate").lines if c.get_label() in CORNERS]
    assert drawn == ["front_left", "rear_left"]  # of several the first variable alone


def test_outputs_are_drawn_by_their_names_each_with_its_own_title(car: sw.Car) -> None:
    travel = np.linspace(-5.0, 5.0, 3)
    names = ["instant_axis_along_z", "inclination", "camber", "wheel_rate_load"]
    figure = sw.plots.curves(car, travel_mm=travel, rack_mm=travel, outputs=names)
    titles = ["camber", "inclination", "instant axis, direction along z", "wheel rate load"]
    assert [ax.get_gid() for ax in figure.axes] == [
        f"{along} {t}" for along in ("travel_mm", "rack_mm") for t in titles
    ]
    expected = car.rear_right.curves(travel_mm=travel)
    for title, column in zip(titles, expected[["camber_deg", "inclination_deg", "instant_axis_along_z",
                                               "wheel_rate_load_N_per_mm"]], strict=True):  # fmt: skip
        lines = {c.get_label(): c for c in panel(figure, f"travel_mm {title}").lines}
        np.testing.assert_array_equal(lines["rear_right"].get_ydata(), expected[column])
    one = sw.plots.curves(car.front_left, outputs=["inclination"])
    assert [ax.get_gid() for ax in one.axes] == ["travel_mm inclination"]
    with pytest.raises(sw.InputError, match="outputs = 'camer': is not known"):
        sw.plots.curves(car, outputs=["camer"])


def test_every_component_of_the_instant_axis_is_drawn_of_a_car_and_says_which(car: sw.Car) -> None:
    figure = sw.plots.curves(car, travel_mm=[-5.0, 5.0])
    for i in "xyz":
        ax = panel(figure, f"travel_mm instant axis, direction along {i}")
        drawn = {c.get_label(): c.get_ydata() for c in ax.lines if c.get_label() in CORNERS}
        for name, values in drawn.items():
            np.testing.assert_array_equal(
                values, car.corners[name].curves(travel_mm=[-5.0, 5.0])[f"instant_axis_along_{i}"]
            )
        assert drawn.keys() == set(CORNERS)


@pytest.mark.parametrize("times", [1, 40])
def test_no_title_is_larger_than_what_it_stands_over(tmp_path: Path, times: int) -> None:
    car = edited(tmp_path, ('name = "Wren"', f'name = "{"Wren with $1 and $2 " * times}"'))
    for figure in (
        sw.plots.bump_steer(car.front_left),
        sw.plots.curves(car, travel_mm=[-5.0, 5.0], rack_mm=[-5.0, 5.0]),
        sw.plots.curves(car.front_left, outputs=["instant_axis_x"]),
        sw.plots.geometry(car, "front_left"),
    ):
        texts = texts_of(figure)
        assert not overlaps(texts)
        width, _ = figure.get_size_inches() * figure.dpi
        assert next(words for words, _ in texts if words.startswith("Wren with $1 and $2"))  # no mathematics
        assert not [words for words, box in texts if box.x0 < 0.0 or box.x1 > width]
        for ax in figure.axes:
            title = next((box for words, box in texts if words == ax.get_title(loc="left")), ax.bbox)
            assert title.x1 <= ax.bbox.x1 + 1.0, ax.get_title(loc="left")


def test_steering_curves_draw_built_and_ideal() -> None:
    rack = np.linspace(-20.0, 20.0, 5)
    names = ["left_deg", "right_deg", "outer_deg", "ideal_outer_deg", "ackermann_error_deg"]
    data = xr.Dataset({n: ("rack_mm", rack + i) for i, n in enumerate(names)}, coords={"rack_mm": rack})
    figure = sw.plots.draw_curves({"front": data})
    assert [ax.get_gid() for ax in figure.axes] == [
        "rack_mm steer from centre",
        "rack_mm outer wheel, and by Ackermann",
        "rack_mm Ackermann error",
    ]
    drawn = {c.get_label(): c for ax in figure.axes for c in ax.lines}
    for name in names[:4]:
        np.testing.assert_array_equal(drawn[name].get_ydata(), data[name])


def test_a_level_line_looks_level(car: sw.Car) -> None:
    figure = sw.plots.curves(car.rear_left, rack_mm=[-10.0, 0.0, 10.0])  # a toe link: no rack moves it
    low, high = panel(figure, "rack_mm toe").get_ylim()
    assert high - low >= 0.02


def test_bump_steer_is_toe_over_travel(car: sw.Car) -> None:
    figure = sw.plots.bump_steer(car.rear_right)
    (ax,) = figure.axes
    travel = np.linspace(-30.0, 30.0, 61)
    curve = next(c for c in ax.lines if c.get_label() == "rear_right")
    np.testing.assert_array_equal(curve.get_xdata(), travel)
    np.testing.assert_array_equal(curve.get_ydata(), car.rear_right.curves(travel_mm=travel).toe_deg)


def test_no_text_of_curves_covers_another(car: sw.Car) -> None:
    for figure in (
        sw.plots.curves(car, travel_mm=np.linspace(-25.0, 25.0, 11), rack_mm=np.linspace(-20.0, 20.0, 11)),
        sw.plots.curves(car.front_left),
        sw.plots.bump_steer(car.front_left),
    ):
        assert not overlaps(texts_of(figure))


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda car: sw.plots.curves(car, travel_mm=3.0), "travel_mm: a curve needs a list of two values or more"),
        (lambda car: sw.plots.curves(car, rack_mm=[[1.0, 2.0]]), "rack_mm: a curve needs a list"),
        (lambda car: sw.plots.bump_steer(car.front_left, travel_mm=[1.0]), "travel_mm: a curve needs a list"),
        (lambda car: sw.plots.curves(car, travel_mm=[0.0, np.nan]), "travel_mm: holds a number that is not finite"),
        (
            lambda car: sw.plots.draw_curves({"a": car.front_left.alignment(travel_mm=[0.0, 1.0], rack_mm=[0.0, 1.0])}),
            "curves run along travel_mm or rack_mm alone",
        ),
        (
            lambda car: sw.plots.draw_curves({"a": car.front_left.joints(travel_mm=[0.0, 1.0])}),
            "curves run along travel_mm or rack_mm alone",
        ),
        (
            lambda _: sw.plots.draw_curves({"a": xr.Dataset({"b": ("rack_mm", [1.0, 2.0])})}),
            "nothing to draw",
        ),
        (lambda _: sw.plots.draw_curves({}), "curves run along travel_mm or rack_mm alone"),
    ],
)
def test_bad_curves_get_one_sentence(car: sw.Car, call: Callable[[sw.Car], Figure], sentence: str) -> None:
    with pytest.raises(sw.InputError, match=sentence) as error:
        call(car)
    assert "\n" not in str(error.value)


def test_a_car_without_rack_has_no_curves_over_it(tmp_path: Path) -> None:
    car = edited(tmp_path, ('inner_moves = "rack"', 'inner_moves = "fixed"'))
    with pytest.raises(sw.InputError, match="rack_mm: no corner of this car is steered by a rack"):
        sw.plots.curves(car, rack_mm=[-1.0, 1.0])
