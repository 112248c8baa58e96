"""Pictures of corners: every joint, link and wheel is drawn where it is."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from figures import CORNERS, SHIFTED, VIEWS, check_labels, contact_of, edited, keys, path, view
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text

import shimwise as sw


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
