"""Every public call of the package on the car of the present folder."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

import shimwise as sw
from written import lines_of

Keep = Callable[[str, str], None]

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
PADS_MM = {"front_left": 1.5, "front_right": -0.5, "rear_right": 2.0}
TRAVEL_MM = np.linspace(-10.0, 10.0, 5)
CLOSEST = ([[2.0, 1.0], [1.0, 3.0]], [3.2, 5.1], [range(-5, 6), range(-5, 6)])
TOUCHED = ([[1.0, 1.0]], [1.5], [2.5], [range(-2, 3), range(-2, 3)])
RACK_MM = np.array([-12.0, 0.0, 7.5])
AIMS: tuple[tuple[dict[str, float | str], dict[str, Any]], ...] = (
    ({"front_height": "+2 mm"}, {}),
    ({"rear_height": -1.5}, {"pads_mm": PADS_MM}),
    ({"cross_weight": 0.5}, {}),
    ({"rake": "1 mm"}, {"keep": ["cross_weight", "toe", "camber"]}),
    ({"mean_height": 2.0}, {"turn": ["pushrod", "corner_weight"]}),
    ({"rear_left.camber": 0.1}, {"keep": ["others"]}),
    ({"front_right.toe": 0.1, "rake": 1.0}, {}),
)


def record_calls(keep: Keep, *, whole: bool) -> None:
    """Call them all; `whole` with fits, errors of points and pictures as they are drawn."""
    car = sw.load_car("car.toml")
    set_car = car.with_settings("settings.toml")
    for name, found in calls(car, set_car, whole=whole):
        try:
            text = "\n".join(lines_of(found(), name))
        except (sw.InputError, sw.OutOfReach) as error:
            text = f"{type(error).__name__}: {error}"
        keep(name, text + "\n")


def members(thing: Any) -> dict[str, Any]:
    """What a public object says of itself: its properties, and its methods that need no argument."""
    said: dict[str, Any] = {"repr": repr(thing)}
    for name in dir(type(thing)):
        member = inspect.getattr_static(type(thing), name)
        if name == "view" or (name.startswith("_") and name != "_repr_html_"):
            continue
        try:
            value = getattr(thing, name)
            if inspect.isfunction(member):
                required = [p for p in inspect.signature(value).parameters.values() if p.default is p.empty]
                value = "takes arguments" if required else value()
            said[name] = value
        except (sw.InputError, sw.OutOfReach) as error:
            said[name] = f"{type(error).__name__}: {error}"
    return said


Call = tuple[str, Callable[[], Any]]


def calls(car: sw.Car, set_car: sw.Car, *, whole: bool) -> Iterator[Call]:
    """Name and call; each is recorded by itself."""
    yield "Car", lambda: {"repr": repr(car), "name": car.name, "settings": car.settings, "set": set_car.settings}
    yield "Car.as_toml", set_car.as_toml
    yield "Car.corner nowhere", lambda: car.corner("front_middle")
    for which, one in (("", car), ("set ", set_car)):
        for name in CORNERS:
            yield from of_corner(f"{which}{name}", one.corner(name), which == "")
        yield from of_car(which, one)
    yield from of_morning(car)
    yield from of_sweeps(car)
    yield "closest_integers", lambda: members(sw.closest_integers(*CLOSEST, count=3))
    yield "closest_integers refused", lambda: sw.closest_integers([[1.0]], [1.0], [[2.0, 1.0]])
    yield "fewest_touched", lambda: members(sw.fewest_touched(*TOUCHED, price=[3.0, 1.0]))
    yield "fewest_touched refused", lambda: sw.fewest_touched(*TOUCHED, price=-1.0)
    yield "ideal_outer_deg", lambda: sw.ideal_outer_deg(np.array([-20.0, -1e-3, 0.0, 5.0, 35.0]), 0.55)
    yield "ideal_outer_deg refused", lambda: sw.ideal_outer_deg(200.0, 0.55)
    yield from of_points(car, whole=whole)
    yield from pictures(car)


def of_corner(name: str, corner: sw.Corner, whole: bool) -> Iterator[Call]:
    yield f"Corner {name}", lambda: members(corner)
    grid = {"travel_mm": TRAVEL_MM, "rack_mm": RACK_MM}
    yield f"Corner.alignment {name}", lambda: corner.alignment(**grid)
    yield f"Corner.curves {name}", lambda: corner.curves(**grid)
    yield f"Corner.effects contact {name}", corner.effects
    if whole:
        yield f"Corner.joints {name}", lambda: corner.joints(**grid)
        yield f"Corner.curves far {name}", lambda: corner.curves(travel_mm=500.0)
        for hold in ("wheel", "spring", "nothing"):
            yield f"Corner.effects {hold} {name}", lambda hold=hold: corner.effects(hold, travel_mm=3.0, rack_mm=-4.0)
        for hold in ("contact", "wheel", "spring"):
            yield (
                f"Corner.effects_per_travel {hold} {name}",
                lambda hold=hold: corner.effects_per_travel(hold, travel_mm=1.0),
            )
    for words, load in (("vertical", (0.0, 0.0, 1000.0)), ("braked", (-1500.0, 400.0, 2200.0))):
        yield (
            f"Corner.forces {words} {name}",
            lambda load=load: members(corner.forces(load_N=load, travel_mm=2.0, rack_mm=3.0)),
        )
    yield f"Corner.recipes {name}", lambda: members(corner.recipes())
    yield f"Corner.recipes by {name}", lambda: members(corner.recipes({"camber": -0.2, "chassis_height": 1.5}))
    yield f"Corner.recipes one {name}", lambda: corner.recipes({"toe": 0.1})["toe"]


def of_car(which: str, car: sw.Car) -> Iterator[Call]:
    yield f"Car.steering {which}".strip(), lambda: car.steering(rack_mm=np.linspace(-18, 18, 5), travel_mm=[-5.0, 6.0])
    standing: dict[str, Callable[[], Any]] = {
        "level": car.at_rest,
        "uneven": lambda: car.at_rest(pads_mm=PADS_MM, ballast_kg={"driver": 70.0}),
        "on tyres": lambda: car.at_rest(on_tyres=True),
        "steered": lambda: car.at_rest(pads_mm=PADS_MM, rack_mm=-9.0),
        "words": lambda: car.at_rest(settings={"front_left.track rod": "+2 flats"}),
        "far": lambda: car.at_rest(pads_mm={"front_left": 400.0}),
    }
    for words, found in standing.items():
        yield f"Car.at_rest {which}{words}", lambda found=found: members(found())
        yield (
            f"Rest.forces {which}{words}",
            lambda found=found: {name: members(found().forces(name)) for name in CORNERS},
        )
    yield f"Rest.value {which}".strip(), lambda: car.at_rest().value("rakee_mm")
    yield f"Car.on_solid_struts {which}level", lambda: members(car.on_solid_struts())
    struts = {"front_left": car.on_solid_struts().struts_mm["front_left"] + 1.5}
    yield f"Car.on_solid_struts {which}uneven", lambda: members(car.on_solid_struts(pads_mm=PADS_MM, struts_mm=struts))
    for hold in ("rest", "spring", "contact", "wheel"):
        yield f"Car.effects {which}{hold}", lambda hold=hold: car.effects(hold)
    yield (
        f"Car.effects {which}rest uneven",
        lambda: car.effects("rest", pads_mm=PADS_MM, ballast_kg={"driver": 70.0}, on_tyres=True),
    )
    yield f"Car.effects {which}rest steered", lambda: car.effects("rest", rack_mm=7.0)
    yield f"Car.effects {which}spring uneven", lambda: car.effects("spring", pads_mm=PADS_MM)
    for number, (aims, more) in enumerate(AIMS):
        yield f"Car.recipe {which}{number}", lambda aims=aims, more=more: members(car.recipe(aims, **more))


def of_sweeps(car: sw.Car) -> Iterator[Call]:
    grid = {"travel_mm": TRAVEL_MM, "rack_mm": RACK_MM}
    yield "sweep", lambda: sw.sweep(car, grid, outputs=["toe", "front_left.roll_centre_height"])
    built = sw.points_within(car, 0.3, "front_left")
    kinds: dict[str, Any] = {"moved": "built", "change": True, "sample": 4}
    yield "sweep built", lambda: sw.sweep(car, built, outputs=["front_left.toe", "cross_weight"], hold="rest", **kinds)
    yield "sweep far", lambda: sw.sweep(car, {"travel_mm": [0.0, 500.0]}, outputs="toe")
    yield "sweep refused", lambda: sw.sweep(car, {"travel_mm": [0.0]}, outputs="tow")
    yield "sweep_file", lambda: sw.sweep_file(car, "sweep.toml")
    pads = {"pad.front_left": sw.Between(-1.0, 1.0), "pad.rear_left": sw.Between(-1.0, 1.0)}
    yield "sensitivity", lambda: sw.sensitivity(car, pads, outputs="cross_weight", hold="rest", sample=20)


def of_morning(car: sw.Car) -> Iterator[Call]:
    readings = sw.load_readings("readings.toml", car)
    yield "Readings", lambda: {"repr": repr(readings)}
    yield "Targets", lambda: sw.load_targets("targets.toml", car)
    yield "Measured", lambda: members(readings.reduce())
    yield "Measured drawn", lambda: members(readings.reduce("monte carlo", draws=1000, seed=1))
    yield "Readings.reduce refused", lambda: readings.reduce("by hand")
    yield "SheetRead", lambda: members(readings.read())
    yield "Compared", lambda: members(sw.compare(car, readings, readings))
    yield "Datum", lambda: members(readings.level(there=readings))
    yield "Readings.level refused", lambda: readings.level(twist_mm=0.0)
    yield "SkidWear", lambda: members(sw.skid("skid.toml", next_km=120.0))
    yield "SkidWear of the car", lambda: members(sw.skid("skid.toml", car, lasts_km=200.0, gauge_alone=True))
    yield "skid refused", lambda: sw.skid("skid.toml", next_km=0.0)
    adjusters = [(f"{name}.{a.name}", a) for name, c in car.corners.items() for a in c.adjusters]
    threads = [key for key, a in adjusters if hasattr(a.setting, "now_turns")]
    pack = next(key for key, a in adjusters if not hasattr(a.setting, "now_turns"))
    changes: list[dict[str, Any]] = [{key: 0.25} for key in threads[:6]]
    changes += [{pack: "+0.5 mm"}, {pack: [2.0, 0.5], threads[0]: "1/2 turn shorter"}, {threads[0]: "two"}, {}]
    for number, change in enumerate(changes):
        yield f"Car.expect {number}", lambda change=change: members(car.expect(readings.reduce(), change))
    yield "Expected corner", lambda: car.expect(readings.reduce(), {threads[0]: 0.5})["front_left"]
    yield "Car.with_settings words", lambda: car.with_settings({threads[0]: "+2 flats", threads[-1]: 0.5}).settings
    yield "Car.with_bars", lambda: members(car.with_bars(front=True, rear=True).at_rest())
    yield "Car.with_settings refused", lambda: car.with_settings({threads[0]: "+200 turns"})
    yield "Plan", lambda: members(plan_of(car, readings))
    yield "Plan choices", lambda: _by_choice(plan_of(car, readings))
    yield "Plan otherwise", lambda: members(plan_of(car, readings, free="rear_difference", prefer="front_left"))
    yield "Plan forced", lambda: members(plan_of(car, readings, force={threads[0]: "+1 flat"}))
    yield "Plan refused", lambda: plan_of(car, readings, keep="x", tie=[threads[:1]])


def plan_of(car: sw.Car, readings: sw.Readings, **otherwise: Any) -> sw.Plan:
    return sw.plan(car, readings.reduce(), sw.load_targets("targets.toml", car), **otherwise)


def _by_choice(plan: sw.Plan) -> dict[str, Any]:
    return {
        name: {
            "choice": plan[name].core,
            "answer": members(plan[name]),
            "card": plan.card(name),
            "settings": plan.settings_after(name),
            "settings of the car": plan.car_after(name).settings,
            "text": plan.text(name, width=100),
        }
        for name in plan.choices
    }


def of_points(car: sw.Car, *, whole: bool) -> Iterator[Call]:
    by = {"front_left.track_rod.inner": (0.0, 0.0, 1.0), "rear_right.upper_wishbone.outer": (0.5, -0.5, 0.0)}
    for moved in ("drawn", "built", "thrown"):
        yield (
            f"Car.with_points {moved}",
            lambda moved=moved: {
                name: corner.alignment(travel_mm=TRAVEL_MM)
                for name, corner in car.with_points(by, moved=moved).corners.items()
                if name in ("front_left", "rear_right")
            },
        )
    for corner in CORNERS if whole else CORNERS[:1]:
        yield f"point_errors {corner}", lambda corner=corner: sw.point_errors(car, corner, bump_mm=8.0)
    bounds = {"track_rod.inner.z": (-4.0, 4.0), "track_rod.inner.y": (-2.0, 2.0)}
    travel = np.linspace(-10.0, 10.0, 5)
    yield "fit_points", lambda: sw.fit_points(car, "front_left", bounds, travel_mm=travel)
    if whole:
        yield (
            "fit_points in shims",
            lambda: sw.fit_points(
                car, "rear_left", bounds, travel_mm=travel, moved="built", shims_mm=[0.5, 0.5, 1.0, 2.0]
            ),
        )


def pictures(car: sw.Car) -> Iterator[Call]:
    yield "plots.geometry", lambda: drawn(sw.plots.geometry(car, "front_left"))
    yield "plots.curves corner", lambda: drawn(sw.plots.curves(car.rear_left, travel_mm=TRAVEL_MM))
    yield "plots.curves car", lambda: drawn(sw.plots.curves(car, travel_mm=TRAVEL_MM, rack_mm=RACK_MM))
    yield "plots.bump_steer", lambda: drawn(sw.plots.bump_steer(car.front_right))
    yield (
        "plots.draw_curves",
        lambda: drawn(sw.plots.draw_curves({"one": car.front_left.curves(travel_mm=TRAVEL_MM)}, "one")),
    )


def drawn(figure: Any) -> list[Any]:
    """Words and lines of a figure, without drawing it."""
    words = [text.get_text() for text in figure.texts]
    return [words] + [
        {
            "words": [axes.get_title(), axes.get_xlabel(), axes.get_ylabel(), *(t.get_text() for t in axes.texts)],
            "lines": [np.array(line.get_xydata()) for line in axes.get_lines()],
        }
        for axes in figure.axes
    ]
