"""From a race mechanic's readings to the best reachable turns and shims.

Millimetre, newton, kilogram; degree wherever a person reads. ISO 8855 directions: x forward, y left, z up. Toe + =
toe-in, camber + = top outboard, the same sense on both sides. Travel is counted from the drawn wheel centre, + = wheel
up. What a table holds is always said: `contact` by default. Values of one corner are in the chassis frame, of a
measured car in the ground frame. docs/conventions.md has it all.
"""

from shimwise import plots
from shimwise._core import InputError, OutOfReach, Problem, __version__
from shimwise.ackermann import ideal_outer_deg
from shimwise.car import Car, Corner, demo_car, demo_files, load_car
from shimwise.car_recipes import CarRecipe
from shimwise.expected import Expected
from shimwise.point_errors import point_errors
from shimwise.point_fit import PointFit, fit_points
from shimwise.recipes import Recipes
from shimwise.rest import Rest
from shimwise.workshop import Measured, Plan, Readings, Targets, load_readings, load_targets, plan

__all__ = [
    "Car",
    "CarRecipe",
    "Corner",
    "Expected",
    "InputError",
    "Measured",
    "OutOfReach",
    "Plan",
    "PointFit",
    "Problem",
    "Readings",
    "Recipes",
    "Rest",
    "Targets",
    "__version__",
    "demo_car",
    "demo_files",
    "fit_points",
    "ideal_outer_deg",
    "load_car",
    "load_readings",
    "load_targets",
    "plan",
    "plots",
    "point_errors",
]
