"""Pictures: what is drawn are the numbers behind it, nothing covers a label, and files are written with care."""

from __future__ import annotations

import hashlib
import itertools
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from matplotlib.transforms import Bbox

import shimwise as sw
from shimwise import _core
from shimwise.plots.curve_panels import PANELS

sys.path.insert(0, str(Path(__file__).parents[1] / "oracle"))

from random_corners import random_car

CORNERS = ["front_left", "front_right", "rear_left", "rear_right"]
VIEWS = {"above": (1, 0), "side": (0, 2), "front": (1, 2)}  # axes of the frame: along the page, up the page
SHIFTED = {"front_left.camber shim": [2.0], "front_left.track rod": 1.5, "rear_right.pushrod": -1.0}


@pytest.fixture(scope="module")
def sheet(car: sw.Car) -> Figure:
    return sw.plots.geometry(car)


def view(figure: Figure, corner: str, name: str) -> Axes:
    return next(ax for ax in figure.axes if ax.get_gid() == f"{corner} {name}")


def line(ax: Axes, gid: str) -> Line2D:
    return next(drawn for drawn in ax.lines if drawn.get_gid() == gid)


def path(ax: Axes, gid: str) -> np.ndarray:
    return np.asarray(line(ax, gid).get_xydata())


def contact_of(corner: sw.Corner) -> tuple[float, float]:
    """y and z of the contact."""
    now = corner.alignment()
    return float(now.half_track_mm) * (1.0 if corner.name.endswith("left") else -1.0), -float(now.chassis_height_mm)


def edited(tmp_path: Path, *changes: tuple[str, str]) -> sw.Car:
    text = sw.demo_files().car.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    file = tmp_path / "edited.toml"
    file.write_text(text, encoding="utf-8")
    return sw.load_car(file)


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("settings", [{}, SHIFTED], ids=["as drawn", "as set"])
def test_every_joint_is_drawn_where_it_is(car: sw.Car, corner: str, settings: dict[str, object]) -> None:
    changed = car.with_settings(settings)  # type: ignore[arg-type]
    figure = sw.plots.geometry(changed, corner)
    joints = changed.corners[corner].joints()
    assert len(joints) >= 15
    for (name, axes), (point, place) in itertools.product(VIEWS.items(), joints.items()):
        np.testing.assert_array_equal(path(view(figure, corner, name), str(point)), [place.values[list(axes)]])


def test_settings_move_joints(car: sw.Car) -> None:
    before = sw.plots.geometry(car, "front_left")
    after = sw.plots.geometry(car.with_settings({"front_left.track rod": 1.5}), "front_left")
    moved = path(view(after, "front_left", "above"), "track_rod.outer") - path(
        view(before, "front_left", "above"), "track_rod.outer"
    )
    assert np.abs(moved).max() > 1.0


@pytest.mark.parametrize("corner", CORNERS)
def test_links_run_from_joint_to_joint(car: sw.Car, sheet: Figure, corner: str) -> None:
    joints = car.corners[corner].joints()
    for name, axes in VIEWS.items():
        ax = view(sheet, corner, name)
        for link, through in {
            "upper wishbone": ["upper_wishbone.front", "upper_wishbone.outer", "upper_wishbone.rear"],
            "lower wishbone": ["lower_wishbone.front", "lower_wishbone.outer", "lower_wishbone.rear"],
            "track rod or toe link": ["track_rod.inner", "track_rod.outer"],
            "pushrod": ["pushrod.outer", "pushrod.inner"],
        }.items():
            np.testing.assert_array_equal(path(ax, link), [joints[point].values[list(axes)] for point in through])
        ends = [joints[point].values[list(axes)] for point in ("rocker.spring", "spring.chassis")]
        np.testing.assert_array_equal(path(ax, "spring")[[0, -1]], ends)
        arms = [np.asarray(drawn.get_xydata()) for drawn in ax.lines if drawn.get_gid() == "rocker"]
        assert [tuple(arm[0]) for arm in arms] == [tuple(joints["rocker.axis_point"].values[list(axes)])] * 3
        tips = [joints[point].values[list(axes)] for point in ("pushrod.inner", "rocker.spring", "rocker.drop_link")]
        np.testing.assert_array_equal([arm[1] for arm in arms], tips)
        link = [joints["rocker.drop_link"].values[list(axes)], path(ax, "bar.arm")[0]]
        np.testing.assert_array_equal(path(ax, "drop link and bar"), link)


@pytest.mark.parametrize(("corner", "left"), [("front_left", 1.0), ("front_right", -1.0)])
def test_bar_and_axes_are_those_of_the_car_file(sheet: Figure, corner: str, left: float) -> None:
    mirror = np.array([1.0, left, 1.0])
    bearing, arm = np.array([108.0, 200.0, 330.0]) * mirror, np.array([8.0, 235.0, 330.0]) * mirror
    bar = np.array([[108.0, 0.0, 330.0], [108.0, 235.0, 330.0], [8.0, 235.0, 330.0]]) * mirror
    rocker = np.array([[8.0 - 35.0, 285.0, 395.0], [8.0 + 35.0, 285.0, 395.0]]) * mirror
    for name, axes in VIEWS.items():
        ax, on_page = view(sheet, corner, name), list(axes)
        np.testing.assert_array_equal(path(ax, "bar.bearing"), [bearing[on_page]])
        np.testing.assert_array_equal(path(ax, "bar.arm"), [arm[on_page]])
        np.testing.assert_allclose(path(ax, "bar"), bar[:, on_page], rtol=0.0, atol=1e-9)
        drawn = path(ax, "rocker axis")
        np.testing.assert_array_equal(
            drawn[drawn[:, 0].argsort()], rocker[:, on_page][rocker[:, on_page][:, 0].argsort()]
        )
        pickups = [np.asarray(artist.get_xydata()) for artist in ax.lines if artist.get_gid() == "axis"]
        ends = [[path(ax, f"{w}_wishbone.{end}")[0] for end in ("front", "rear")] for w in ("upper", "lower")]
        np.testing.assert_array_equal(pickups, ends)


@pytest.mark.parametrize("corner", CORNERS)
def test_the_wheel_stands_on_its_contact(car: sw.Car, corner: str) -> None:
    changed = car.with_settings(SHIFTED)
    figure = sw.plots.geometry(changed, corner)
    y, z = contact_of(changed.corners[corner])
    front, side = view(figure, corner, "front"), view(figure, corner, "side")
    lowest = path(front, "wheel")[path(front, "wheel")[:, 1].argmin()]
    np.testing.assert_allclose(lowest, [y, z], rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(path(front, "contact"), [[y, z]], rtol=0.0, atol=1e-9)
    # from the side the disc's lowest point is the contact too: x comes from trail and caster, here from the disc
    lowest = path(side, "wheel")[path(side, "wheel")[:, 1].argmin()]
    np.testing.assert_allclose(path(side, "contact"), [lowest], rtol=0.0, atol=1e-9)


@pytest.mark.parametrize(("corner", "radius"), [("front_left", 255.0), ("rear_right", 265.0)])
def test_the_wheel_is_the_setup_wheel_with_its_camber_and_toe(
    car: sw.Car, sheet: Figure, corner: str, radius: float
) -> None:
    now = car.corners[corner].alignment()
    toe, camber = np.tan(np.radians([float(now.toe_deg), float(now.camber_deg)]))
    e = np.array([toe, 1.0, -camber]) / np.sqrt(1.0 + toe**2 + camber**2)
    for name, axes in VIEWS.items():
        size = np.ptp(path(view(sheet, corner, name), "wheel"), axis=0)
        expected = [2.0 * radius * np.sqrt(1.0 - e[i] ** 2) + 10.0 * abs(e[i]) for i in axes]
        np.testing.assert_allclose(size, expected, rtol=2e-4, atol=0.0)
    top, low = (path(view(sheet, corner, "front"), "wheel")[i] for i in (180, 0))
    outboard = 1.0 if corner.endswith("left") else -1.0
    assert (top - low)[0] * outboard < -3.0  # leans in by more than its width


def test_the_ground_runs_through_this_contact_and_the_one_beside_or_behind(sheet: Figure) -> None:
    mates = {"side": dict(zip(CORNERS, CORNERS[2:] + CORNERS[:2], strict=True))}
    mates["front"] = dict(zip(CORNERS, np.array(CORNERS)[[1, 0, 3, 2]], strict=True))
    for name, mate in mates.items():
        for corner in CORNERS:
            (x0, z0), (x1, z1) = path(view(sheet, corner, name), "ground")
            for x, z in (path(view(sheet, c, name), "contact")[0] for c in (corner, mate[corner])):
                assert abs(z0 + (x - x0) * (z1 - z0) / (x1 - x0) - z) <= 1e-9
    (x0, z0), (x1, z1) = path(view(sheet, "front_left", "side"), "ground")
    assert (z1 - z0) / (x1 - x0) == pytest.approx(12.0 / 2345.0, rel=0.01)  # the drawn rake


def test_all_views_have_one_scale_and_say_their_directions(sheet: Figure) -> None:
    scales = set()
    for ax in sheet.axes:
        size = ax.get_position().size * sheet.get_size_inches()
        span = np.array([np.ptp(ax.get_xlim()), np.ptp(ax.get_ylim())])
        scales |= {round(float(s), 9) for s in size / span}
        across, up = ("right" if np.diff(limits) > 0 else "left" for limits in (ax.get_xlim(), ax.get_ylim()))
        # what an observer there has on the right hand, and above: the words and the limits say the same
        assert (ax.get_title(), across, ax.get_xlabel(), up, ax.get_ylabel()) in {
            ("seen from the front", "right", "left (y, mm) →", "right", "up (z, mm) →"),
            ("seen from above", "right", "left (y, mm) →", "left", "← forward (x, mm)"),
            ("seen from the left", "left", "← forward (x, mm)", "right", "up (z, mm) →"),
            ("seen from the right", "right", "forward (x, mm) →", "right", "up (z, mm) →"),
        }
        side = (ax.get_gid() or "").endswith("_left side") or (ax.get_gid() or "").endswith("_right side")
        assert not side or ax.get_title() == f"seen from the {ax.get_gid().split()[0].split('_')[1]}"
    assert len(scales) == 1
    assert len(sheet.axes) == 12


def texts_of(figure: Figure) -> list[tuple[str, Bbox]]:
    """All that is written on the page."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    figure.draw(renderer)
    unseen = set()  # ticks beyond the axes
    for ax in figure.axes:
        for axis, limits, i in ((ax.xaxis, sorted(ax.get_xlim()), 0), (ax.yaxis, sorted(ax.get_ylim()), 1)):
            labels = axis.get_ticklabels()
            unseen |= {label for label in labels if not limits[0] <= label.get_position()[i] <= limits[1]}
    written = [text for text in figure.findobj(Text) if text.get_text() and text.get_visible() and text not in unseen]
    return [(text.get_text(), text.get_window_extent(renderer)) for text in written]


def overlaps(boxes: list[tuple[str, Bbox]]) -> list[tuple[str, str]]:
    return [(a, b) for (a, one), (b, other) in itertools.combinations(boxes, 2) if one.overlaps(other)]


def check_labels(figure: Figure) -> None:
    texts = texts_of(figure)
    assert not overlaps(texts)
    width, height = figure.get_size_inches() * figure.dpi
    assert not [text for text, box in texts if box.x0 < 0.0 or box.y0 < 0.0 or box.x1 > width or box.y1 > height]
    for ax in figure.axes:
        balloons = ax.transData.transform(path(ax, "balloons")) * 72.0 / figure.dpi
        size = line(ax, "balloons").get_markersize() + line(ax, "balloons").get_markeredgewidth()
        for one, other in itertools.combinations(balloons, 2):
            assert np.linalg.norm(one - other) > size
        for joint in keys(figure):
            if joint in {drawn.get_gid() for drawn in ax.lines}:
                at = ax.transData.transform(path(ax, joint))[0] * 72.0 / figure.dpi
                reach = (size + line(ax, joint).get_markersize()) / 2.0
                assert np.linalg.norm(balloons - at, axis=1).min() > reach, joint


def keys(figure: Figure) -> dict[str, str]:
    """Numbers by name, from the keys of a sheet."""
    rows = [
        row.split()
        for text in figure.texts
        if (text.get_gid() or "").startswith("key ")
        for row in text.get_text().splitlines()[1:]
    ]
    return {name: number for number, name, *_ in rows}


def test_no_label_covers_another_and_none_leaves_the_page(car: sw.Car, sheet: Figure) -> None:
    check_labels(sheet)
    check_labels(sw.plots.geometry(car, "rear_right"))


def test_labels_of_random_cars_do_not_collide(tmp_path: Path, size: Callable[[int, int], int]) -> None:
    for index in range(size(1, 20)):
        text, _ = random_car("test_plots", index)
        file = tmp_path / f"{index}.toml"
        file.write_text(text, encoding="utf-8")
        check_labels(sw.plots.geometry(sw.load_car(file)))


def test_every_joint_has_a_number_in_every_view_and_a_line_in_the_key(car: sw.Car, sheet: Figure) -> None:
    numbers = keys(sheet)
    assert len(set(numbers.values())) == len(numbers)
    for corner in CORNERS:
        points = {str(name) for name in car.corners[corner].joints()} | {"contact", "bar.bearing", "bar.arm"}
        for name in VIEWS:
            ax = view(sheet, corner, name)
            written = {text.get_gid(): text.get_text() for text in ax.texts}
            assert written == {point: numbers[point] for point in points}
            leaders = path(ax, "leaders").reshape(-1, 3, 2)
            balloons = path(ax, "balloons")
            np.testing.assert_array_equal(leaders[:, 1], balloons)
            for text, leader in zip(ax.texts, leaders, strict=True):
                np.testing.assert_allclose(leader[0], path(ax, str(text.get_gid()))[0], rtol=0.0, atol=1e-9)
                np.testing.assert_array_equal(leader[1], text.get_position())
        key = next(text for text in sheet.texts if text.get_gid() == f"key {corner}").get_text()
        for point, place in car.corners[corner].joints().items():
            row = next(row.split() for row in key.splitlines() if f" {point} " in row)
            assert row[2:] == [f"{v + 0.0:.1f}" for v in place.values]


def test_a_mistyped_point_moves_its_marker_and_the_frame(car: sw.Car, tmp_path: Path) -> None:
    wrong = edited(tmp_path, ("rear = [-130.0, 270.0, 317.0]", "rear = [-130.0, 270.0, 717.0]"))
    before, after = (sw.plots.geometry(c, "front_left") for c in (car, wrong))
    was, now = (path(view(f, "front_left", "front"), "upper_wishbone.rear")[0] for f in (before, after))
    np.testing.assert_array_equal(now - was, [0.0, 400.0])
    same = {str(p) for p in car.front_left.joints()} - {"upper_wishbone.rear"}
    for point in same:
        np.testing.assert_allclose(
            *(path(view(f, "front_left", "front"), point) for f in (before, after)), rtol=0.0, atol=1e-9
        )
    assert view(after, "front_left", "front").get_ylim()[1] > 717.0
    check_labels(after)


def without_rear_rocker(text: str) -> str:
    head, _, rear = text.partition("[rear_left]")
    rocker = rear.index("[rear_left.rocker]")
    rear = rear[:rocker] + rear[rear.index("[[rear_left.adjuster]]") :]
    start = rear.rindex("[[rear_left.adjuster]]", 0, rear.index('name = "pushrod"'))
    rear = rear[:start] + rear[rear.index("[[rear_left.adjuster]]", start + 5) :]
    for old, new in (
        (
            "pushrod = { outer = [-2338.0, 555.0, 138.0], inner = [-2330.0, 340.0, 440.0], outer_on",
            "drop_link = { outer = [-2300.0, 480.0, 330.0], outer_on",
        ),
        (
            "spring = { chassis = [-2330.0, 70.0, 480.0],",
            'spring = { outer = [-2338.0, 500.0, 140.0], outer_on = "upper_wishbone", chassis = [-2330.0, 330.0, 320],',
        ),
        ("longest_mm = 245.0", "longest_mm = 275.0"),
    ):
        assert old in rear
        rear = rear.replace(old, new)
    return head + "[rear_left]" + rear


def test_a_corner_without_rocker_has_its_spring_and_drop_link_on_a_wishbone(tmp_path: Path) -> None:
    file = tmp_path / "direct.toml"
    file.write_text(without_rear_rocker(sw.demo_files().car.read_text(encoding="utf-8")), encoding="utf-8")
    figure = sw.plots.geometry(sw.load_car(file))
    ax = view(figure, "rear_left", "front")
    drawn = {artist.get_gid() for artist in ax.lines}
    assert {"spring.outer", "drop_link.outer", "spring", "drop link and bar"} <= drawn
    assert not {"rocker", "rocker axis", "pushrod", "pushrod.inner"} & drawn
    brackets = [
        np.asarray(artist.get_xydata()).tolist() for artist in ax.lines if artist.get_gid() == "upright, bracket"
    ]
    for point, carrier in (("drop_link.outer", "lower_wishbone.outer"), ("spring.outer", "upper_wishbone.outer")):
        assert [*path(ax, point).tolist(), *path(ax, carrier).tolist()] in brackets
    numbers = keys(figure)
    assert sorted(map(int, numbers.values())) == list(range(1, len(numbers) + 1))
    for text in figure.texts:
        if (text.get_gid() or "").startswith("key "):
            column = [int(row.split()[0]) for row in text.get_text().splitlines()[1:]]
            assert column == sorted(column)
    check_labels(figure)


def colours_of(figure: Figure) -> Iterator[tuple[float, float, float]]:
    for drawn in figure.findobj(Line2D):
        yield to_rgb(drawn.get_color())
        yield to_rgb(drawn.get_markeredgecolor())
        yield to_rgb(drawn.get_markerfacecolor())
    for text in figure.findobj(Text):
        yield to_rgb(text.get_color())


def test_pictures_are_grey(car: sw.Car, sheet: Figure) -> None:
    for figure in (sheet, sw.plots.curves(car), sw.plots.curves(car.front_left)):
        assert all(red == green == blue for red, green, blue in colours_of(figure))


def test_no_such_corner_gets_one_sentence(car: sw.Car) -> None:
    with pytest.raises(sw.InputError, match="corner = 'fl': needs one of front_left, front_right"):
        sw.plots.geometry(car, "fl")


# curves


def panel(figure: Figure, gid: str) -> Axes:
    return next(ax for ax in figure.axes if ax.get_gid() == gid)


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


def test_steering_curves_draw_built_and_ideal() -> None:
    rack = np.linspace(-20.0, 20.0, 5)
    names = ["left_deg", "right_deg", "outer_deg", "ideal_outer_deg", "ackermann_error_deg"]
    data = xr.Dataset({n: ("rack_mm", rack + i) for i, n in enumerate(names)}, coords={"rack_mm": rack})
    figure = sw.plots.draw_curves({"front": data})
    assert [ax.get_gid() for ax in figure.axes] == [
        "rack_mm steer from centre",
        "rack_mm outer wheel, and by Ackermann's rule",
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


# files


@pytest.mark.parametrize("ending", ["png", "pdf", "svg", "PNG"])
def test_the_same_figure_gives_the_same_file(car: sw.Car, tmp_path: Path, ending: str) -> None:
    files = [tmp_path / f"{i}.{ending}" for i in (1, 2)]
    for file in files:
        sw.plots.save(sw.plots.bump_steer(car.front_left), file)
    begins = {"png": b"\x89PNG", "pdf": b"%PDF", "svg": b"<?xml"}[ending.lower()]
    assert files[0].read_bytes().startswith(begins)
    assert files[0].read_bytes() == files[1].read_bytes()
    assert b"Date" not in files[0].read_bytes()
    assert sorted(file.name for file in tmp_path.iterdir()) == [file.name for file in files]  # nothing is left aside


def test_files_are_refused_in_one_sentence(car: sw.Car, tmp_path: Path) -> None:
    figure = sw.plots.bump_steer(car.front_left)
    with pytest.raises(sw.InputError, match=r"a\.jpg: a picture's name ends in \.png, \.pdf or \.svg"):
        sw.plots.save(figure, tmp_path / "a.jpg")
    (tmp_path / "b.png").write_bytes(b"mine")
    with pytest.raises(sw.InputError, match=r"b\.png: exists already and is not written over"):
        sw.plots.save(figure, tmp_path / "b.png")
    assert (tmp_path / "b.png").read_bytes() == b"mine"
    with pytest.raises(sw.InputError, match="there is no folder"):
        sw.plots.save(figure, tmp_path / "none" / "b.png")


def test_a_figure_shows_itself_in_a_notebook(car: sw.Car) -> None:
    assert sw.plots.bump_steer(car.front_left)._repr_png_().startswith(b"\x89PNG")  # type: ignore[attr-defined]


def test_matplotlib_is_imported_when_asked_for_and_its_global_state_is_left_alone(tmp_path: Path) -> None:
    code = """
import sys
import shimwise as sw
car = sw.demo_car()
assert "matplotlib" not in sys.modules
import matplotlib
before = matplotlib.rcParams.copy()
sw.plots.save(sw.plots.bump_steer(car.front_left), sys.argv[1])
sw.plots.geometry(car, "rear_left")
assert "matplotlib.pyplot" not in sys.modules
assert all(matplotlib.rcParams[key] == value for key, value in before.items() if key != "backend")
"""
    subprocess.run([sys.executable, "-c", code, tmp_path / "x.svg"], check=True)


def test_rc_settings_do_not_matter_to_the_places_of_balloons(car: sw.Car, sheet: Figure) -> None:
    with mpl.rc_context({"font.size": 20.0}):
        again = sw.plots.geometry(car)
    for one, other in zip(sheet.axes, again.axes, strict=True):
        np.testing.assert_array_equal(path(one, "balloons"), path(other, "balloons"))


# the command line

MAIN = "from shimwise.cli import main; main()"


def check_plot(folder: Path, *words: str, before: str = "", code: int = 0) -> subprocess.CompletedProcess[str]:
    if not (folder / "wren.toml").exists():
        shutil.copy(sw.demo_files().car, folder)
    done = subprocess.run(
        [sys.executable, "-c", before + MAIN, "check", "wren.toml", "--plot", *words],
        cwd=folder, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == code, done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    return done


def test_check_draws_the_corners_and_says_from_what(tmp_path: Path) -> None:
    done = check_plot(tmp_path, "car.svg")
    assert "nothing wrong found" in done.stdout
    assert "car.svg: each corner from the front, from the side and from above" in done.stdout
    picture = (tmp_path / "car.svg").read_text(encoding="utf-8")
    for corner, name in itertools.product(CORNERS, VIEWS):
        assert f'id="{corner} {name}"' in picture
    digest = hashlib.sha256((tmp_path / "wren.toml").read_bytes()).hexdigest()[:8]
    assert f"shimwise {sw.__version__}; wren.toml {digest}" in picture  # text is kept in a comment beside its shapes
    assert sorted(file.name for file in tmp_path.iterdir()) == ["car.svg", "wren.toml"]


def test_check_draws_the_settings_and_names_the_picture_in_json(tmp_path: Path, car: sw.Car) -> None:
    _core.save_settings(car.with_settings(SHIFTED).settings, str(tmp_path / "now.toml"))
    done = check_plot(tmp_path, "car.svg", "--settings", "now.toml", "--json")
    assert json.loads(done.stdout)["plot"] == "car.svg"
    picture = (tmp_path / "car.svg").read_text(encoding="utf-8")
    x, y, z = car.with_settings(SHIFTED).front_left.joints()["track_rod.outer"].values
    assert re.search(rf"track_rod\.outer +{x:.1f} +{y:.1f} +{z:.1f}", picture)


def test_check_refuses_a_wrong_ending_and_an_old_file(tmp_path: Path) -> None:
    done = check_plot(tmp_path, "car.gif", code=2)
    assert done.stderr.strip() == "car.gif: a picture's name ends in .png, .pdf or .svg"
    assert not done.stdout
    (tmp_path / "car.png").write_bytes(b"mine")
    assert check_plot(tmp_path, "car.png", code=2).stderr.strip() == "car.png: exists already and is not written over"
    assert (tmp_path / "car.png").read_bytes() == b"mine"
    assert sorted(file.name for file in tmp_path.iterdir()) == ["car.png", "wren.toml"]


def test_without_matplotlib_one_sentence_says_what_to_install(tmp_path: Path) -> None:
    done = check_plot(tmp_path, "car.png", before="import sys; sys.modules['matplotlib'] = None; ", code=2)
    assert done.stderr.strip() == 'pictures need Matplotlib, which is not installed: pip install "matplotlib>=3.9"'
    assert not (tmp_path / "car.png").exists()
    done = check_plot(tmp_path, "car.gif", before="import sys; sys.modules['matplotlib'] = None; ", code=2)
    assert "ends in .png" in done.stderr  # said before anything is drawn
