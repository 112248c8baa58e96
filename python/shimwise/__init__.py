"""From a race mechanic's readings to the best reachable turns and shims.

Millimetre, newton, kilogram; degree wherever a person reads. ISO 8855 directions: x forward, y left, z up. Toe + =
toe-in, camber + = top outboard, the same sense on both sides. Travel is counted from the drawn wheel centre, + = wheel
up. What a table holds is always said: `contact` by default. Values of one corner are in the chassis frame, of a
measured car in the ground frame. docs/conventions.md has it all.
"""

from shimwise import plots
from shimwise import views as _views  # noqa: F401  ties each result to what it looks like
from shimwise._core import InputError, OutOfReach, Problem, __version__
from shimwise.baselines.baseline import Baseline, accept, load_baseline
from shimwise.baselines.compared import Compared, compare
from shimwise.baselines.history import History, history
from shimwise.baselines.restored import Restored, restore
from shimwise.car import Car, Corner, demo_car, demo_files, load_car
from shimwise.choice.answer import Answer
from shimwise.choice.card import Card, load_card
from shimwise.choice.plan import Plan, plan
from shimwise.choice.whole_numbers import ClosestIntegers, FewestTouched, closest_integers, fewest_touched
from shimwise.corner.steering import ideal_outer_deg
from shimwise.points.errors import point_errors
from shimwise.points.fit import PointFit, fit_points
from shimwise.readings.datum import Datum
from shimwise.readings.expected import Expected
from shimwise.readings.measured import Measured
from shimwise.readings.readings import Readings, Targets, load_readings, load_targets
from shimwise.readings.sheet_read import SheetRead
from shimwise.readings.skid import SkidWear, skid
from shimwise.recipes.of_car import CarRecipe
from shimwise.recipes.of_corner import Recipes
from shimwise.standing.rest import Rest
from shimwise.sweeps.drawn import Among, Between, points_within, shim_options
from shimwise.sweeps.file import sweep_file
from shimwise.sweeps.sensitivity import sensitivity
from shimwise.sweeps.sweep import sweep

__all__ = [
    "Among",
    "Answer",
    "Baseline",
    "Between",
    "Car",
    "CarRecipe",
    "Card",
    "ClosestIntegers",
    "Compared",
    "Corner",
    "Datum",
    "Expected",
    "FewestTouched",
    "History",
    "InputError",
    "Measured",
    "OutOfReach",
    "Plan",
    "PointFit",
    "Problem",
    "Readings",
    "Recipes",
    "Rest",
    "Restored",
    "SheetRead",
    "SkidWear",
    "Targets",
    "__version__",
    "accept",
    "closest_integers",
    "compare",
    "demo_car",
    "demo_files",
    "fewest_touched",
    "fit_points",
    "history",
    "ideal_outer_deg",
    "load_baseline",
    "load_car",
    "load_card",
    "load_readings",
    "load_targets",
    "plan",
    "plots",
    "point_errors",
    "points_within",
    "restore",
    "sensitivity",
    "shim_options",
    "skid",
    "sweep",
    "sweep_file",
]


def __dir__() -> list[str]:
    return sorted(__all__)
