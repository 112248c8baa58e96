"""
The compiled part of shimwise; import shimwise instead.
"""

from __future__ import annotations
import collections.abc
import numpy
import numpy.typing
import typing

__all__: list[str] = [
    "AXIS_DIRECTION",
    "Accepted",
    "Acting",
    "Adjuster",
    "Amount",
    "Asks",
    "AtFlags",
    "AxleRates",
    "Ballast",
    "Bar",
    "BarForces",
    "Baseline",
    "BaselineValue",
    "Body",
    "BoxProbability",
    "CamberGauge",
    "Car",
    "CarAim",
    "CarRecipe",
    "CarRecipeAsk",
    "CarRecipeValue",
    "CarValue",
    "Card",
    "CardLine",
    "CardReading",
    "CardStep",
    "CardValue",
    "Cause",
    "Chances",
    "ChassisPose",
    "Choice",
    "Comparison",
    "Contradictions",
    "Corner",
    "CornerId",
    "CornerSheet",
    "Difference",
    "Differences",
    "Doubt",
    "EffectRow",
    "EffectTable",
    "Ends",
    "Estimate",
    "Expectation",
    "Expected",
    "ExpectedCorner",
    "ExpectedTotal",
    "Explained",
    "Finding",
    "FlagRuler",
    "Forces",
    "From",
    "GaugeCheck",
    "GaugeHere",
    "GroundFrom",
    "Guess",
    "HeightGauge",
    "Held",
    "HeldPurpose",
    "History",
    "Input",
    "InputError",
    "InputQuantity",
    "InstrumentNames",
    "Instruments",
    "IntegerSearch",
    "IntegerSolution",
    "JointForce",
    "Left",
    "Level",
    "LevelTolerance",
    "LinearPlan",
    "Measured",
    "Moved",
    "NextReading",
    "OffLevel",
    "OtherPlace",
    "OutOfReach",
    "Outlook",
    "Output",
    "OutputInfo",
    "Packing",
    "PadClosure",
    "PadLevel",
    "PartOfVariance",
    "Per",
    "Plan",
    "PlanOptions",
    "PlannedSetting",
    "PlannedValue",
    "PointError",
    "PointRow",
    "PointWear",
    "Problem",
    "Proof",
    "Purpose",
    "Quantity",
    "RIGID_CHASSIS_WORDS",
    "Reached",
    "ReadAgain",
    "ReadingOf",
    "Readings",
    "Recipe",
    "RecipePart",
    "Recipes",
    "Repeat",
    "RestCorner",
    "RestCornerForces",
    "RestEnergy",
    "RestForces",
    "RestModel",
    "RestOutput",
    "RestState",
    "RestTable",
    "RestVariable",
    "RestoreLine",
    "Restored",
    "RideHeightPoint",
    "RunnerUp",
    "Sampling",
    "Scale",
    "Scatter",
    "Settings",
    "Settled",
    "SetupWheel",
    "Sheet",
    "ShownOffLevel",
    "Skid",
    "SkidCheck",
    "Slip",
    "SobolIndices",
    "SolidState",
    "Source",
    "Spread",
    "Stack",
    "StackChoice",
    "StringsRead",
    "SweepFile",
    "SweepFileInput",
    "SweepHold",
    "SweepPoints",
    "SweptInput",
    "SweptOutput",
    "Target",
    "Targets",
    "Thread",
    "ToeAndCamber",
    "TouchedChoice",
    "TouchedSearch",
    "Trend",
    "Trial",
    "TurnedAdjuster",
    "TurnedLength",
    "Usual",
    "ValueChange",
    "VarianceShare",
    "Vector",
    "Wear",
    "WearAsked",
    "WearByHeight",
    "WheelRate",
    "Which",
    "WholeCarChange",
    "Words",
    "accepted",
    "alignment",
    "amount",
    "as_accepted",
    "as_read",
    "baseline_alone_from",
    "baseline_from",
    "baseline_notes",
    "baseline_text",
    "best_packing",
    "car_after",
    "car_aim",
    "car_from",
    "car_output_list",
    "car_recipe",
    "car_recipe_names",
    "car_text",
    "card",
    "card_format",
    "card_json",
    "cautions",
    "chance",
    "check_pads",
    "column_names",
    "common_tolerance",
    "compare",
    "contradictions",
    "corner_load_list",
    "count_words",
    "curve_list",
    "curves",
    "default_choice",
    "demand_new_file",
    "demand_settable",
    "did_you_mean",
    "differences",
    "direct_spring_rows",
    "done_instead",
    "doubtful_words",
    "doubts",
    "doubts_of",
    "drawn_among",
    "drawn_between",
    "drawn_struts_mm",
    "effects",
    "expect",
    "expect_here",
    "explain",
    "fewest_touched",
    "first_page",
    "flag_difference_mm",
    "flags_words",
    "forces",
    "gauge_zero_deg",
    "history",
    "holds_with",
    "ideal_outer_deg",
    "input_as",
    "input_error",
    "input_names",
    "input_of",
    "input_of_card",
    "integer_least_squares",
    "is_baseline",
    "is_pull_rod",
    "joints",
    "judged",
    "last_page",
    "last_step",
    "level",
    "load_car",
    "load_card",
    "load_settings",
    "made_of",
    "meets_targets",
    "member_names",
    "missing_for",
    "missing_shims_mm",
    "not_at_hand_words",
    "obstacle_names",
    "off_level",
    "older_words",
    "on_solid_struts",
    "on_tyres",
    "output_list",
    "pack_words",
    "packs_at_hand",
    "plan",
    "point_errors",
    "point_names",
    "point_table_problems",
    "present_length_mm",
    "probability_in_box",
    "rates_per_travel",
    "read_source",
    "readings_from",
    "readings_of",
    "recipe_change",
    "recipes",
    "reduce",
    "reduce_drawn",
    "repeats",
    "rest",
    "rest_energy",
    "rest_forces",
    "rest_model",
    "rest_outputs",
    "rest_table",
    "rest_variables",
    "restore",
    "ride_height_info",
    "rocker_rows",
    "row_name",
    "save_baseline",
    "save_car",
    "save_card",
    "save_settings",
    "say_when_slow",
    "setting_of",
    "settings_after",
    "settings_beside",
    "settings_of",
    "settings_of_card",
    "settled",
    "sheet",
    "shim_fault",
    "skid_from",
    "sobol_indices",
    "solid_outputs",
    "solid_table",
    "stack_choices",
    "stack_together",
    "steer_list",
    "steering",
    "steps_page",
    "stop_at_interrupt",
    "strings_read",
    "sweep",
    "sweep_file_from",
    "sweep_inputs",
    "sweep_mask_names",
    "sweep_outputs",
    "table_point_names",
    "targets_from",
    "targets_of",
    "targets_that_last",
    "tried",
    "turns_from_drawn",
    "turns_from_now",
    "turns_words",
    "unpredicted",
    "unread",
    "usual_list",
    "way_words",
    "wear",
    "wheel_rates",
    "with_ballast",
    "with_bar",
    "with_points_moved",
    "with_rack",
    "with_settings",
    "worth_reading_again",
    "write_new_file",
]

class Problem:
    """
    One fault of one file; parts that do not apply are empty or 0.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(
        self,
        file: str,
        line: typing.SupportsInt | typing.SupportsIndex,
        column: typing.SupportsInt | typing.SupportsIndex,
        field: str,
        value: str,
        rule: str,
    ) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    def __str__(self) -> str: ...
    @property
    def column(self) -> int: ...
    @property
    def field(self) -> str: ...
    @property
    def file(self) -> str: ...
    @property
    def line(self) -> int: ...
    @property
    def rule(self) -> str: ...
    @property
    def value(self) -> str: ...

class InputError(ValueError):
    """
    Bad input. The message has one sentence per problem, each on a line of its own.
    """
    @property
    def problems(self) -> list[Problem]:
        """
        Every problem of the file, in the order of its lines.
        """

class OutOfReach(RuntimeError):
    """
    What was asked cannot be reached; the message says why and by how much.
    """

class BoxProbability:
    """
    A probability and a bound of its numerical error.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(
        self, value: typing.SupportsFloat | typing.SupportsIndex, error: typing.SupportsFloat | typing.SupportsIndex
    ) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def error(self) -> float: ...
    @property
    def value(self) -> float: ...

class IntegerSolution:
    """
    One choice and its cost, |A x - b|^2.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def cost(self) -> float: ...
    @property
    def x(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...

class IntegerSearch:
    """
    The cheapest choices, and whether nothing cheaper is left.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def best(self) -> list[IntegerSolution]: ...
    @property
    def bound(self) -> float: ...
    @property
    def nodes(self) -> int: ...
    @property
    def proven(self) -> bool: ...

class TouchedChoice:
    """
    A choice, what it touches costs, how far from the middle.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def distance(self) -> float: ...
    @property
    def price(self) -> float: ...
    @property
    def x(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...

class TouchedSearch:
    """
    The cheapest choice inside, if any, and whether it is proven.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def best(self) -> TouchedChoice | None: ...
    @property
    def nodes(self) -> int: ...
    @property
    def proven(self) -> bool: ...

class Source:
    """
    What is read: a file, or what would stand in one.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self, name: str, read: bytes, has_lines: bool = True) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...

class CornerId:
    """
    Members:

      front_left

      front_right

      rear_left

      rear_right
    """

    __members__: typing.ClassVar[dict[str, CornerId]]
    front_left: typing.ClassVar[CornerId]
    front_right: typing.ClassVar[CornerId]
    rear_left: typing.ClassVar[CornerId]
    rear_right: typing.ClassVar[CornerId]
    @typing.overload
    def __eq__(self, other: CornerId) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: CornerId) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class Purpose:
    """
    Members:

      toe

      camber

      caster

      ride_height

      corner_weight

      bar_free
    """

    __members__: typing.ClassVar[dict[str, Purpose]]
    bar_free: typing.ClassVar[Purpose]
    camber: typing.ClassVar[Purpose]
    caster: typing.ClassVar[Purpose]
    corner_weight: typing.ClassVar[Purpose]
    ride_height: typing.ClassVar[Purpose]
    toe: typing.ClassVar[Purpose]
    @typing.overload
    def __eq__(self, other: Purpose) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Purpose) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class Ends:
    """
    Members:

      one

      left_and_right

      same_hand
    """

    __members__: typing.ClassVar[dict[str, Ends]]
    left_and_right: typing.ClassVar[Ends]
    one: typing.ClassVar[Ends]
    same_hand: typing.ClassVar[Ends]
    @typing.overload
    def __eq__(self, other: Ends) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Ends) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class Body:
    """
    Members:

      chassis

      rack

      lower_wishbone

      upper_wishbone

      upright

      rocker
    """

    __members__: typing.ClassVar[dict[str, Body]]
    chassis: typing.ClassVar[Body]
    lower_wishbone: typing.ClassVar[Body]
    rack: typing.ClassVar[Body]
    rocker: typing.ClassVar[Body]
    upper_wishbone: typing.ClassVar[Body]
    upright: typing.ClassVar[Body]
    @typing.overload
    def __eq__(self, other: Body) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Body) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class Vector:
    """
    Of the chassis frame: x forward, y left, z up.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...
    @property
    def z(self) -> float: ...

class SetupWheel:
    """
    The disc that stands in for wheel and tyre on the plate.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def flag_span_mm(self) -> float: ...
    @property
    def offset_mm(self) -> float: ...
    @property
    def radius_mm(self) -> float: ...
    @property
    def width_mm(self) -> float: ...

class Bar:
    """
    Anti-roll bar as drawn: bearings and arms, left and right.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def arm(self) -> typing.Annotated[list[Vector], "FixedSize(2)"]: ...
    @property
    def bearing(self) -> typing.Annotated[list[Vector], "FixedSize(2)"]: ...
    @property
    def blade(self) -> str: ...
    @property
    def connected(self) -> bool: ...

class FlagRuler:
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def resolution_mm(self) -> float: ...

class CamberGauge:
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def resolution_deg(self) -> float: ...

class HeightGauge:
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def resolution_mm(self) -> float: ...

class Scale:
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def resolution_kg(self) -> float: ...

class PadLevel:
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def resolution_mm(self) -> float: ...

class Instruments:
    """
    What reads the car; a resolution of 0: the file has none.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def camber_gauge(self) -> CamberGauge: ...
    @property
    def flag_ruler(self) -> FlagRuler: ...
    @property
    def height_gauge(self) -> HeightGauge: ...
    @property
    def pad_level(self) -> PadLevel: ...
    @property
    def scale(self) -> Scale: ...

class Thread:
    """
    A threaded rod or platform; settings in turns from the drawn length.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def designation(self) -> str: ...
    @property
    def ends(self) -> Ends: ...
    @property
    def lead_mm(self) -> float: ...
    @property
    def lock_turns(self) -> float: ...
    @property
    def now_turns(self) -> float: ...
    @property
    def pitch_mm(self) -> float: ...
    @property
    def settable_turns(self) -> float: ...
    @property
    def step_turns(self) -> float: ...

class Stack:
    """
    A pack of shims; settings are its total thickness in mm.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def box(self) -> str: ...
    @property
    def drawn_with_mm(self) -> float: ...
    @property
    def fitted_mm(self) -> list[float]: ...
    @property
    def thickness_uncertainty_mm(self) -> float: ...
    @property
    def total_mm(self) -> float: ...

class Adjuster:
    """
    What one mm of it changes, how far it can be set, what it is for.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def amount_mm(self) -> float: ...
    @property
    def length(self) -> str | None: ...
    @property
    def minutes(self) -> float: ...
    @property
    def name(self) -> str: ...
    @property
    def purpose(self) -> Purpose: ...
    @property
    def setting(self) -> Thread | Stack: ...

class Corner:
    """
    One corner as drawn and as set.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def adjusters(self) -> list[Adjuster]: ...
    @property
    def drop_link_outer_on(self) -> Body: ...
    @property
    def has_pull_rod(self) -> bool: ...
    @property
    def id(self) -> CornerId: ...
    @property
    def point_names(self) -> list[str]: ...
    @property
    def pushrod_outer_on(self) -> Body: ...
    @property
    def rocker_axis(self) -> Vector: ...
    @property
    def spring_outer_on(self) -> Body: ...
    @property
    def steered(self) -> bool: ...
    @property
    def wheel(self) -> SetupWheel: ...

class Ballast:
    """
    A mass that is contained in the total.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def name(self) -> str: ...
    @property
    def now_kg(self) -> float: ...

class RideHeightPoint:
    """
    A named point over the ground.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def name(self) -> str: ...

class Car:
    """
    A car, read from a file; changed only by making a changed copy.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    def corner(self, id: CornerId) -> Corner: ...
    @property
    def ballast(self) -> list[Ballast]: ...
    @property
    def bars(self) -> typing.Annotated[list[Bar | None], "FixedSize(2)"]: ...
    @property
    def bars_apart_mm(self) -> float: ...
    @property
    def boxes_mm(self) -> dict[str, list[float]]: ...
    @property
    def file(self) -> str: ...
    @property
    def instruments(self) -> Instruments: ...
    @property
    def name(self) -> str: ...
    @property
    def ride_heights(self) -> list[RideHeightPoint]: ...

class PointRow:
    """
    A row of a table of points that names a corner and a point.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(
        self,
        line: typing.SupportsInt | typing.SupportsIndex,
        corner: CornerId,
        point: str,
        at_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(3)"]
        | None,
    ) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...

class Moved:
    """
    Members:

      drawn

      built
    """

    __members__: typing.ClassVar[dict[str, Moved]]
    built: typing.ClassVar[Moved]
    drawn: typing.ClassVar[Moved]
    @typing.overload
    def __eq__(self, other: Moved) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Moved) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class Output:
    """
    Members:

      toe

      camber

      caster

      kingpin_inclination

      trail

      scrub

      half_track

      motion_ratio

      inclination

      chassis_height

      spring_length

      bump_steer

      camber_gain
    """

    __members__: typing.ClassVar[dict[str, Output]]
    bump_steer: typing.ClassVar[Output]
    camber: typing.ClassVar[Output]
    camber_gain: typing.ClassVar[Output]
    caster: typing.ClassVar[Output]
    chassis_height: typing.ClassVar[Output]
    half_track: typing.ClassVar[Output]
    inclination: typing.ClassVar[Output]
    kingpin_inclination: typing.ClassVar[Output]
    motion_ratio: typing.ClassVar[Output]
    scrub: typing.ClassVar[Output]
    spring_length: typing.ClassVar[Output]
    toe: typing.ClassVar[Output]
    trail: typing.ClassVar[Output]
    @typing.overload
    def __eq__(self, other: Output) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Output) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class OutputInfo:
    """
    Name, unit and sign of an output, and how people say it.
    """
    @property
    def column(self) -> str: ...
    @property
    def common_tolerance(self) -> float | None: ...
    @property
    def depends_on_frame(self) -> bool: ...
    @property
    def in_words(self) -> str: ...
    @property
    def in_words_always(self) -> bool: ...
    @property
    def label(self) -> str: ...
    @property
    def minus(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def plus(self) -> str: ...
    @property
    def sign(self) -> str: ...
    @property
    def target(self) -> bool: ...
    @property
    def tolerance_at_flags_mm(self) -> float | None: ...
    @property
    def unit(self) -> str: ...

class RestOutput:
    """
    One value of a car at rest: its name, unit and sign.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def name(self) -> str: ...
    @property
    def sign(self) -> str: ...
    @property
    def unit(self) -> str: ...

class Held:
    """
    Members:

      wheel

      contact

      spring
    """

    __members__: typing.ClassVar[dict[str, Held]]
    contact: typing.ClassVar[Held]
    spring: typing.ClassVar[Held]
    wheel: typing.ClassVar[Held]
    @typing.overload
    def __eq__(self, other: Held) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Held) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class JointForce:
    """
    The force at a joint: x, y, z.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def force_N(self) -> typing.Annotated[list[float], "FixedSize(3)"]: ...
    @property
    def point(self) -> str: ...

class Forces:
    """
    Forces in a corner for a load at the contact, chassis frame.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def along_lower_pickups_N(self) -> float: ...
    @property
    def along_upper_pickups_N(self) -> float: ...
    @property
    def axial_N(self) -> typing.Annotated[list[float | None], "FixedSize(8)"]: ...
    @property
    def contact_mm(self) -> typing.Annotated[list[float], "FixedSize(3)"]: ...
    @property
    def load_N(self) -> typing.Annotated[list[float], "FixedSize(3)"]: ...
    @property
    def on_chassis(self) -> list[JointForce]: ...
    @property
    def on_upright(self) -> list[JointForce]: ...
    @property
    def out_of_balance_N(self) -> float: ...
    @property
    def rocker_moment_Nmm(self) -> typing.Annotated[list[float], "FixedSize(3)"] | None: ...

class ToeAndCamber:
    """
    Toe and camber of one change, deg.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def camber_deg(self) -> float: ...
    @property
    def toe_deg(self) -> float: ...

class PointError:
    """
    One coordinate of a point: by how much predicted changes go wrong.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def axis(self) -> int: ...
    @property
    def of_adjusters(self) -> list[ToeAndCamber]: ...
    @property
    def of_bump(self) -> ToeAndCamber: ...
    @property
    def point(self) -> str: ...

class ChassisPose:
    """
    The chassis over plumb: mm and rad.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(
        self,
        height_mm: typing.SupportsFloat | typing.SupportsIndex,
        pitch_rad: typing.SupportsFloat | typing.SupportsIndex,
        roll_rad: typing.SupportsFloat | typing.SupportsIndex,
        twist_rad: typing.SupportsFloat | typing.SupportsIndex = 0.0,
    ) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def height_mm(self) -> float: ...
    @property
    def pitch_rad(self) -> float: ...
    @property
    def roll_rad(self) -> float: ...
    @property
    def twist_rad(self) -> float: ...

class RestCorner:
    """
    How a corner stands at rest, beside its values.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def in_chassis(self) -> typing.Annotated[list[float], "FixedSize(13)"]: ...
    @property
    def missing_N(self) -> float: ...
    @property
    def on_droop_stop(self) -> bool: ...
    @property
    def on_width_mm(self) -> float | None: ...
    @property
    def stop_pull_N(self) -> float: ...
    @property
    def to_droop_stop_mm(self) -> float | None: ...
    @property
    def to_rubber_mm(self) -> float | None: ...
    @property
    def to_shortest_mm(self) -> float | None: ...

class RestEnergy:
    """
    Energy at a pose of the chassis, its slope and curvature.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def energy_Nmm(self) -> float: ...
    @property
    def gradient(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[4, 1]"]: ...
    @property
    def hessian(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[4, 4]"]: ...
    @property
    def load_N(self) -> typing.Annotated[list[float], "FixedSize(4)"]: ...

class RestState:
    """
    The car at rest on its springs.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    def row(self, outputs: collections.abc.Sequence[RestOutput]) -> list[float]:
        """
        These values, in order.
        """
    @property
    def corners(self) -> typing.Annotated[list[RestCorner], "FixedSize(4)"]: ...
    @property
    def energies_Nmm(self) -> list[float]: ...
    @property
    def pose(self) -> ChassisPose: ...

class RestVariable:
    """
    An adjuster, a pad, a ballast or the rack.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def adjuster(self) -> bool: ...
    @property
    def corner(self) -> int: ...
    @property
    def index(self) -> int: ...
    @property
    def key(self) -> str: ...

class RestModel:
    """
    The whole car as the energy at rest reads it.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def car(self) -> Car: ...
    @property
    def has_rack(self) -> bool: ...
    @property
    def total_kg(self) -> float: ...
    @property
    def twists(self) -> bool: ...

class Acting:
    """
    A force on a body of a corner, and where it acts: x, y, z.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at_mm(self) -> typing.Annotated[list[float], "FixedSize(3)"]: ...
    @property
    def force_N(self) -> typing.Annotated[list[float], "FixedSize(3)"]: ...
    @property
    def on(self) -> str: ...

class RestCornerForces:
    """
    Forces in a corner at rest, chassis frame of its half.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def drop_link(self) -> Acting | None: ...
    @property
    def forces(self) -> Forces: ...
    @property
    def third(self) -> Acting | None: ...
    @property
    def weight(self) -> Acting: ...

class BarForces:
    """
    A bar between drop links and bearings; left, then right.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def along_bearings_N(self) -> float: ...
    @property
    def arm_N(self) -> typing.Annotated[list[typing.Annotated[list[float], "FixedSize(3)"]], "FixedSize(2)"]: ...
    @property
    def arm_mm(self) -> typing.Annotated[list[typing.Annotated[list[float], "FixedSize(3)"]], "FixedSize(2)"]: ...
    @property
    def bearing_N(self) -> typing.Annotated[list[typing.Annotated[list[float], "FixedSize(3)"]], "FixedSize(2)"]: ...
    @property
    def out_of_balance_N(self) -> float: ...
    @property
    def torsion_Nmm(self) -> float: ...

class RestForces:
    """
    Forces in every corner and bar of a car at rest.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def bars(self) -> typing.Annotated[list[BarForces | None], "FixedSize(2)"]: ...
    @property
    def corners(self) -> typing.Annotated[list[RestCornerForces], "FixedSize(4)"]: ...

class WheelRate:
    """
    Load of a wheel per mm of its contact's rise, in parts.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def bar_N_per_mm(self) -> float: ...
    @property
    def load_N_per_mm(self) -> float: ...
    @property
    def rubber_N_per_mm(self) -> float: ...
    @property
    def spring_N_per_mm(self) -> float: ...
    @property
    def third_N_per_mm(self) -> float: ...
    @property
    def total_N_per_mm(self) -> float: ...
    @property
    def unsprung_N_per_mm(self) -> float: ...

class AxleRates:
    """
    Rates of an axle's wheels, left and right; None on a droop stop.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def bump(self) -> typing.Annotated[list[WheelRate | None], "FixedSize(2)"]: ...
    @property
    def roll(self) -> typing.Annotated[list[WheelRate | None], "FixedSize(2)"]: ...
    @property
    def single(self) -> typing.Annotated[list[WheelRate | None], "FixedSize(2)"]: ...

class SolidState:
    """
    The car on solid struts in place of its springs and dampers.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def over_pad_mm(self) -> typing.Annotated[list[float], "FixedSize(4)"]: ...
    @property
    def rocking_mm(self) -> float: ...
    @property
    def stands(self) -> RestState: ...

class SweepHold:
    """
    Members:

      wheel

      contact

      spring

      rest
    """

    __members__: typing.ClassVar[dict[str, SweepHold]]
    contact: typing.ClassVar[SweepHold]
    rest: typing.ClassVar[SweepHold]
    spring: typing.ClassVar[SweepHold]
    wheel: typing.ClassVar[SweepHold]
    @typing.overload
    def __eq__(self, other: SweepHold) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: SweepHold) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class SweptInput:
    """
    Something that a sweep may set.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def adjuster(self) -> bool: ...
    @property
    def corner(self) -> int: ...
    @property
    def index(self) -> int: ...
    @property
    def key(self) -> str: ...
    @property
    def long_name(self) -> str: ...
    @property
    def now(self) -> float: ...
    @property
    def point(self) -> bool: ...
    @property
    def unit(self) -> str: ...

class SweptOutput:
    """
    A value that a sweep gives.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def column(self) -> str: ...
    @property
    def key(self) -> str: ...
    @property
    def missing(self) -> str: ...
    @property
    def names(self) -> list[str]: ...
    @property
    def sign(self) -> str: ...
    @property
    def unit(self) -> str: ...

class Sampling:
    """
    Members:

      latin_hypercube

      random
    """

    __members__: typing.ClassVar[dict[str, Sampling]]
    latin_hypercube: typing.ClassVar[Sampling]
    random: typing.ClassVar[Sampling]
    @typing.overload
    def __eq__(self, other: Sampling) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Sampling) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class VarianceShare:
    """
    A share of the variance with its standard uncertainty.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def share(self) -> float: ...
    @property
    def uncertainty(self) -> float: ...

class SobolIndices:
    """
    How much of the variance an input brings.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def first(self) -> VarianceShare: ...
    @property
    def rows(self) -> int: ...
    @property
    def total(self) -> VarianceShare: ...

class SweepFileInput:
    """
    An input of a sweep as a file asks for it.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def along(self) -> str: ...
    @property
    def among(self) -> bool: ...
    @property
    def between(self) -> tuple[float, float] | None: ...
    @property
    def change(self) -> bool: ...
    @property
    def name(self) -> str: ...
    @property
    def single(self) -> bool: ...
    @property
    def values(self) -> list[float | list[float] | str]: ...

class SweepPoints:
    """
    Points that are drawn, each within so many mm either way.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def of(self) -> list[str]: ...
    @property
    def within_mm(self) -> float: ...

class SweepFile:
    """
    A sweep as a file asks for it.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at_hand(self) -> bool: ...
    @property
    def by(self) -> str: ...
    @property
    def file(self) -> str: ...
    @property
    def hold(self) -> str: ...
    @property
    def inputs(self) -> list[SweepFileInput]: ...
    @property
    def moved(self) -> str | None: ...
    @property
    def outputs(self) -> list[str]: ...
    @property
    def points(self) -> SweepPoints | None: ...
    @property
    def sample(self) -> int: ...
    @property
    def seed(self) -> int: ...

class Words:
    """
    What was written of a setting or a change, and how a message repeats it.
    """
    def __init__(
        self,
        said: None
        | typing.SupportsFloat
        | typing.SupportsIndex
        | collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]
        | str,
        shown: str,
    ) -> None: ...

class From:
    """
    From where an amount counts.

    Members:

      now

      drawn
    """

    __members__: typing.ClassVar[dict[str, From]]
    drawn: typing.ClassVar[From]
    now: typing.ClassVar[From]
    @typing.overload
    def __eq__(self, other: From) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: From) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class Amount:
    """
    What words say of an adjuster: turns of a thread, mm or shims of a pack.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def plain(self) -> bool: ...
    @property
    def shims_mm(self) -> list[float] | None: ...
    @property
    def size(self) -> float: ...
    @property
    def taken(self) -> str: ...

class ValueChange:
    """
    By how much a value changes.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at_flags_mm(self) -> float | None: ...
    @property
    def by(self) -> float: ...

class Per:
    """
    Members:

      turn

      flat

      mm

      step_up

      step_down

      kg
    """

    __members__: typing.ClassVar[dict[str, Per]]
    flat: typing.ClassVar[Per]
    kg: typing.ClassVar[Per]
    mm: typing.ClassVar[Per]
    step_down: typing.ClassVar[Per]
    step_up: typing.ClassVar[Per]
    turn: typing.ClassVar[Per]
    @typing.overload
    def __eq__(self, other: Per) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Per) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class EffectRow:
    """
    One row of an effect table: the change of every output or value.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def amount(self) -> float: ...
    @property
    def change(self) -> list[float]: ...
    @property
    def per(self) -> Per: ...
    @property
    def variable(self) -> int: ...

class EffectTable:
    """
    Every adjuster of a corner against every output.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def held_value(self) -> float: ...
    @property
    def rows(self) -> list[EffectRow]: ...
    @property
    def values(self) -> typing.Annotated[list[float], "FixedSize(13)"]: ...

class RestTable:
    """
    Every adjuster, pad and ballast against every value at rest.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def left_out(self) -> list[str]: ...
    @property
    def outputs(self) -> list[RestOutput]: ...
    @property
    def rows(self) -> list[EffectRow]: ...
    @property
    def state(self) -> RestState: ...
    @property
    def variables(self) -> list[RestVariable]: ...

class Settings:
    """
    The adjusters as they stand: turns from drawn, shims fitted, boxes.
    """

    car: str
    file: str
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    def save(self, path: str) -> None:
        """
        Write a settings file, aside and then renamed; raise InputError where it exists.
        """
    @property
    def box_mm(self) -> dict[str, list[float]]: ...
    @box_mm.setter
    def box_mm(
        self, arg0: collections.abc.Mapping[str, collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]]
    ) -> None: ...
    @property
    def shims_mm(self) -> dict[str, list[float]]: ...
    @shims_mm.setter
    def shims_mm(
        self, arg0: collections.abc.Mapping[str, collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]]
    ) -> None: ...
    @property
    def turns(self) -> dict[str, float]: ...
    @turns.setter
    def turns(self, arg0: collections.abc.Mapping[str, typing.SupportsFloat | typing.SupportsIndex]) -> None: ...

class GaugeCheck:
    """
    The camber gauge on one surface, both ways round.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at(self) -> str: ...
    @property
    def zero_deg(self) -> float: ...

class Readings:
    """
    The clipboard.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at(self) -> str: ...
    @property
    def file(self) -> str: ...
    @property
    def gauge_checks(self) -> list[GaugeCheck]: ...
    @property
    def packing_mm(self) -> list[float]: ...
    @property
    def place(self) -> str: ...
    @property
    def remarks(self) -> str: ...

class Target:
    """
    A wanted value with its tolerance, or a one-sided limit.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def flag_span_mm(self) -> float | None: ...
    @property
    def least(self) -> float | None: ...
    @property
    def most(self) -> float | None: ...
    @property
    def tolerance(self) -> float: ...
    @property
    def tolerance_is_common_practice(self) -> bool: ...
    @property
    def value(self) -> float | None: ...

class Targets:
    """
    What the car should read.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def car(self) -> dict[str, Target]: ...
    @property
    def corners(self) -> typing.Annotated[list[dict[str, Target]], "FixedSize(4)"]: ...
    @property
    def file(self) -> str: ...
    @property
    def ride_heights(self) -> dict[str, Target]: ...

class TurnedLength:
    """
    A length that threads turn, as the settings have it.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def adjusters(self) -> list[str]: ...
    @property
    def now_mm(self) -> float: ...

class CornerSheet:
    """
    What is read at one corner.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def camber(self) -> bool: ...
    @property
    def flags(self) -> bool: ...
    @property
    def lengths(self) -> dict[str, TurnedLength]: ...
    @property
    def scale(self) -> bool: ...
    @property
    def shims_mm(self) -> dict[str, list[float]]: ...

class Sheet:
    """
    What a readings file of a car may hold.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def ballast_kg(self) -> dict[str, float]: ...
    @property
    def camber_gauge(self) -> bool: ...
    @property
    def car(self) -> str: ...
    @property
    def corners(self) -> dict[str, CornerSheet]: ...
    @property
    def left_out(self) -> list[str]: ...
    @property
    def pads(self) -> bool: ...
    @property
    def ride_heights(self) -> list[str]: ...
    @property
    def skid(self) -> bool: ...
    @property
    def steered(self) -> bool: ...
    @property
    def strings(self) -> bool: ...

class Spread:
    """
    An error of two parts: evenly spread over a last digit, and normal.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def last_digit(self) -> float: ...
    @property
    def normal(self) -> float: ...
    @property
    def standard(self) -> float: ...

class InputQuantity:
    """
    One independent input of the measurement model.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def anew(self) -> Spread: ...
    @property
    def key(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def stays(self) -> Spread: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def value(self) -> float: ...

class GroundFrom:
    """
    Members:

      ride_heights

      drawn_contacts
    """

    __members__: typing.ClassVar[dict[str, GroundFrom]]
    drawn_contacts: typing.ClassVar[GroundFrom]
    ride_heights: typing.ClassVar[GroundFrom]
    @typing.overload
    def __eq__(self, other: GroundFrom) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: GroundFrom) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class Quantity:
    """
    Key, unit and origin of a measured value.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def derived(self) -> bool: ...
    @property
    def in_words(self) -> str: ...
    @property
    def key(self) -> str: ...
    @property
    def unit(self) -> str: ...

class Measured:
    """
    Alignment, heights and weights with their covariance.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def by_inputs(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def covariance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def frame_words(self) -> str: ...
    @property
    def ground_from(self) -> GroundFrom: ...
    @property
    def inputs(self) -> list[InputQuantity]: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def quantities(self) -> list[Quantity]: ...
    @property
    def repeat_covariance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def uncertainties(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def values(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def within_95(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...

class AtFlags:
    """
    Toe in mm at the flags, measured and wanted.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def difference_mm(self) -> float | None: ...
    @property
    def least_mm(self) -> float | None: ...
    @property
    def measured_mm(self) -> float | None: ...
    @property
    def most_mm(self) -> float | None: ...
    @property
    def tolerance_mm(self) -> float: ...
    @property
    def uncertainty_mm(self) -> float | None: ...
    @property
    def value_mm(self) -> float | None: ...

class Comparison:
    """
    A value beside its target.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at_flags(self) -> AtFlags | None: ...
    @property
    def derived(self) -> bool: ...
    @property
    def difference(self) -> float | None: ...
    @property
    def key(self) -> str: ...
    @property
    def measured(self) -> float | None: ...
    @property
    def target(self) -> Target | None: ...
    @property
    def uncertainty(self) -> float | None: ...
    @property
    def unit(self) -> str: ...
    @property
    def within(self) -> bool | None: ...

class PartOfVariance:
    """
    How much of a value's variance one kind of input brings.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def kind(self) -> str: ...
    @property
    def share(self) -> float: ...

class Finding:
    """
    A length or an angle that is looked for, and its standard uncertainty.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def unsure(self) -> bool: ...
    @property
    def value(self) -> float: ...

class StringsRead:
    """
    How the strings ran.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def angle_deg(self) -> typing.Annotated[list[Finding], "FixedSize(2)"]: ...
    @property
    def off_centre_mm(self) -> typing.Annotated[list[Finding], "FixedSize(2)"]: ...
    @property
    def wider_in_front_mm(self) -> Finding: ...

class Repeat:
    """
    A reading that was taken more than once.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def in_sets(self) -> bool: ...
    @property
    def key(self) -> str: ...
    @property
    def readings(self) -> list[float]: ...
    @property
    def scatter(self) -> float: ...
    @property
    def unit(self) -> str: ...

class Settled:
    """
    How the car itself scatters, from a sheet that was read anew.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def between(self) -> float: ...
    @property
    def by_instruments(self) -> float: ...
    @property
    def counts(self) -> float: ...
    @property
    def degrees(self) -> int: ...
    @property
    def of_file(self) -> float: ...
    @property
    def sets(self) -> int: ...
    @property
    def unit(self) -> str: ...
    @property
    def what(self) -> str: ...

class Slip:
    """
    One explanation of a sheet of readings.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def amount(self) -> float: ...
    @property
    def chance(self) -> float: ...
    @property
    def chi_square(self) -> float: ...
    @property
    def inputs(self) -> list[str]: ...
    @property
    def kind(self) -> str: ...
    @property
    def odds(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def words(self) -> str: ...

class Contradictions:
    """
    Whether a sheet contradicts the car and itself.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def chi_square(self) -> float: ...
    @property
    def degrees(self) -> int: ...
    @property
    def doubt(self) -> str: ...
    @property
    def fits(self) -> bool: ...
    @property
    def p(self) -> float: ...
    @property
    def slips(self) -> list[Slip]: ...

class SkidCheck:
    """
    The thickness of a skid at one distance, as it was read.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def distance_km(self) -> float: ...
    @property
    def new(self) -> bool: ...
    @property
    def ride_height_mm(self) -> dict[str, float]: ...
    @property
    def thickness_mm(self) -> dict[str, float]: ...

class Skid:
    """
    The thickness of a skid over the distance that it has run.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def checks(self) -> list[SkidCheck]: ...
    @property
    def file(self) -> str: ...
    @property
    def gauge_uncertainty_mm(self) -> float: ...
    @property
    def least_is_common_practice(self) -> bool: ...
    @property
    def least_mm(self) -> float: ...
    @property
    def new_is_common_practice(self) -> bool: ...
    @property
    def new_mm(self) -> float: ...

class Scatter:
    """
    How one observation scatters; known beforehand where degrees is 0.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def degrees(self) -> int: ...
    @property
    def standard(self) -> float: ...

class Estimate:
    """
    A value, its standard uncertainty and the interval that holds 95 %.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def high(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def value(self) -> float: ...

class Reached:
    """
    A place by inverse prediction, and its interval of 95 %; None: no such end.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def high(self) -> float | None: ...
    @property
    def low(self) -> float | None: ...
    @property
    def value(self) -> float | None: ...

class Outlook:
    """
    What a line through thicknesses says at one ride height.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def after_next_mm(self) -> Estimate: ...
    @property
    def chance_under(self) -> float: ...
    @property
    def left_km(self) -> Reached: ...
    @property
    def wear_mm_per_100_km(self) -> Estimate: ...

class WearByHeight:
    """
    Thickness over distance and one ride height.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def height(self) -> str: ...
    @property
    def highest_mm(self) -> float: ...
    @property
    def lasts_mm(self) -> Reached | None: ...
    @property
    def less_mm_per_100_km(self) -> Estimate: ...
    @property
    def lowest_mm(self) -> float: ...
    @property
    def now_mm(self) -> float: ...
    @property
    def outlook(self) -> Outlook: ...

class PointWear:
    """
    How fast a skid wears at one point.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def by_height(self) -> list[WearByHeight]: ...
    @property
    def checks(self) -> int: ...
    @property
    def gap_at_least_mm(self) -> float | None: ...
    @property
    def gap_mm(self) -> float | None: ...
    @property
    def last_mm(self) -> float: ...
    @property
    def outlook(self) -> Outlook | None: ...
    @property
    def point(self) -> str: ...
    @property
    def refused(self) -> str: ...
    @property
    def runs(self) -> int: ...
    @property
    def scatter(self) -> Scatter: ...
    @property
    def worn_mm(self) -> float: ...

class Wear:
    """
    How fast a skid wears.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def next_km(self) -> float: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def now_km(self) -> float: ...
    @property
    def points(self) -> list[PointWear]: ...

class WearAsked:
    """
    How far the next run goes, and how far the skid is to last.
    """

    gauge_alone: bool
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def lasts_km(self) -> float | None: ...
    @lasts_km.setter
    def lasts_km(self, arg0: typing.SupportsFloat | typing.SupportsIndex | None) -> None: ...
    @property
    def next_km(self) -> float | None: ...
    @next_km.setter
    def next_km(self, arg0: typing.SupportsFloat | typing.SupportsIndex | None) -> None: ...

class Input:
    """
    A file that an answer was made from, by its role, as it was read.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self, role: str, file: str, read: bytes) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def digest(self) -> str: ...
    @property
    def file(self) -> str: ...
    @property
    def invented_lines(self) -> int: ...
    @property
    def role(self) -> str: ...

class Doubt:
    """
    What is possible and yet unlikely.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at(self) -> str: ...
    @property
    def text(self) -> str: ...

class Usual:
    """
    What a number usually is; common practice, no source.
    """
    @property
    def least(self) -> float: ...
    @property
    def matters(self) -> str: ...
    @property
    def most(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def what(self) -> str: ...

class StackChoice:
    """
    A pack of shims and what to change for it.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def add_mm(self) -> list[float]: ...
    @property
    def remove_mm(self) -> list[float]: ...
    @property
    def shims_mm(self) -> list[float]: ...
    @property
    def total_mm(self) -> float: ...

class PlannedSetting:
    """
    One adjuster of a plan.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def after(self) -> float: ...
    @property
    def before(self) -> float: ...
    @property
    def corner(self) -> CornerId: ...
    @property
    def key(self) -> str: ...
    @property
    def minutes(self) -> float: ...
    @property
    def purpose(self) -> Purpose: ...
    @property
    def shims(self) -> StackChoice: ...
    @property
    def touched(self) -> bool: ...

class Asks:
    """
    Members:

      asked

      limit

      kept

      let_go
    """

    __members__: typing.ClassVar[dict[str, Asks]]
    asked: typing.ClassVar[Asks]
    kept: typing.ClassVar[Asks]
    let_go: typing.ClassVar[Asks]
    limit: typing.ClassVar[Asks]
    @typing.overload
    def __eq__(self, other: Asks) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Asks) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class PlannedValue:
    """
    A value that a plan is judged by, or keeps.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def asks(self) -> Asks: ...
    @property
    def deviation(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def measured(self) -> bool: ...
    @property
    def now(self) -> float: ...
    @property
    def target(self) -> Target: ...
    @property
    def then(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def within(self) -> bool: ...

class Proof:
    """
    Why a plan is the best one.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def bound(self) -> float: ...
    @property
    def combinations(self) -> float: ...
    @property
    def listed(self) -> int: ...
    @property
    def model_error(self) -> float: ...
    @property
    def proven(self) -> bool: ...
    @property
    def states(self) -> int: ...

class NextReading:
    """
    What will be read next if the plan is done: a normal vector.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def covariance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def keys(self) -> list[str]: ...
    @property
    def lower(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def off(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def predicted(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def tolerance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def upper(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...

class CarValue:
    """
    A height, weight, share or difference that was read, now and then.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def deviation(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def now(self) -> float: ...
    @property
    def then(self) -> float: ...
    @property
    def unit(self) -> str: ...

class WholeCarChange:
    """
    Heights and weights once the car stands again.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def held(self) -> str: ...
    @property
    def values(self) -> list[CarValue]: ...
    @property
    def why_not(self) -> str: ...

class Choice:
    """
    One way to set the car.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def cost(self) -> float: ...
    @property
    def minutes(self) -> float: ...
    @property
    def next(self) -> NextReading: ...
    @property
    def proof(self) -> Proof: ...
    @property
    def settings(self) -> list[PlannedSetting]: ...
    @property
    def touches(self) -> bool: ...
    @property
    def values(self) -> list[PlannedValue]: ...
    @property
    def whole(self) -> WholeCarChange: ...
    @property
    def within(self) -> bool: ...

class PlanOptions:
    """
    What a person wants otherwise.
    """
    def __init__(self) -> None: ...
    @property
    def forbid(self) -> list[str]: ...
    @forbid.setter
    def forbid(self, arg0: collections.abc.Sequence[str]) -> None: ...
    @property
    def force(self) -> dict[str, Words]: ...
    @force.setter
    def force(self, arg0: collections.abc.Mapping[str, Words]) -> None: ...
    @property
    def free(self) -> list[str]: ...
    @free.setter
    def free(self, arg0: collections.abc.Sequence[str]) -> None: ...
    @property
    def keep(self) -> list[str]: ...
    @keep.setter
    def keep(self, arg0: collections.abc.Sequence[str]) -> None: ...
    @property
    def model_share(self) -> float: ...
    @model_share.setter
    def model_share(self, arg0: typing.SupportsFloat | typing.SupportsIndex) -> None: ...
    @property
    def prefer(self) -> list[str]: ...
    @prefer.setter
    def prefer(self, arg0: collections.abc.Sequence[str]) -> None: ...
    @property
    def tie(self) -> list[list[str]]: ...
    @tie.setter
    def tie(self, arg0: collections.abc.Sequence[collections.abc.Sequence[str]]) -> None: ...
    @property
    def turn(self) -> list[str]: ...
    @turn.setter
    def turn(self, arg0: collections.abc.Sequence[str]) -> None: ...
    @property
    def within_minutes(self) -> float | None: ...
    @within_minutes.setter
    def within_minutes(self, arg0: typing.SupportsFloat | typing.SupportsIndex | None) -> None: ...

class Which:
    """
    Members:

      nothing

      closest

      least_work
    """

    __members__: typing.ClassVar[dict[str, Which]]
    closest: typing.ClassVar[Which]
    least_work: typing.ClassVar[Which]
    nothing: typing.ClassVar[Which]
    @typing.overload
    def __eq__(self, other: Which) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: Which) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class RunnerUp:
    """
    Another way to set the car, nearly as good.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def cost(self) -> float: ...
    @property
    def minutes(self) -> float: ...
    @property
    def settings(self) -> list[PlannedSetting]: ...
    @property
    def within(self) -> bool: ...

class HeldPurpose:
    """
    Adjusters that are not turned, and what they could gain at most.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def gain(self) -> float: ...
    @property
    def keys(self) -> list[str]: ...
    @property
    def purpose(self) -> Purpose: ...

class LinearPlan:
    """
    The linear problem that a mixed-integer solver is asked.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def allowed(self) -> list[list[float]]: ...
    @property
    def effect(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def forbidden(self) -> list[bool]: ...
    @property
    def held(self) -> list[bool]: ...
    @property
    def keys(self) -> list[str]: ...
    @property
    def length_high(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def length_low(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def lengths(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def lower(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def purposes(self) -> list[Purpose]: ...
    @property
    def scale(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def then_0(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def upper(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def values(self) -> list[str]: ...

class Plan:
    """
    Touch nothing, closest and least work, with their proof.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def closest(self) -> Choice: ...
    @property
    def compared(self) -> list[Comparison]: ...
    @property
    def held(self) -> list[HeldPurpose]: ...
    @property
    def least_work(self) -> Choice | None: ...
    @property
    def least_work_proven(self) -> bool: ...
    @property
    def linear(self) -> LinearPlan: ...
    @property
    def measured(self) -> Measured: ...
    @property
    def model_share(self) -> float: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def nothing(self) -> Choice: ...
    @property
    def rounded(self) -> Choice | None: ...
    @property
    def runners_up(self) -> list[RunnerUp]: ...

class Chances:
    """
    Chance to pass of every choice of a plan.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self, nothing: BoxProbability, closest: BoxProbability, least_work: BoxProbability | None) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def closest(self) -> BoxProbability: ...
    @property
    def least_work(self) -> BoxProbability | None: ...
    @property
    def nothing(self) -> BoxProbability: ...

class ReadAgain:
    """
    A reading that is worth taking once more, and the chance to pass then.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def chance(self) -> float: ...
    @property
    def key(self) -> str: ...

class ReadingOf:
    """
    Members:

      flags

      gauge

      height

      scale
    """

    __members__: typing.ClassVar[dict[str, ReadingOf]]
    flags: typing.ClassVar[ReadingOf]
    gauge: typing.ClassVar[ReadingOf]
    height: typing.ClassVar[ReadingOf]
    scale: typing.ClassVar[ReadingOf]
    @typing.overload
    def __eq__(self, other: ReadingOf) -> bool: ...
    @typing.overload
    def __eq__(self, other: typing.Any) -> bool: ...
    def __getstate__(self) -> int: ...
    def __hash__(self) -> int: ...
    def __index__(self) -> int: ...
    def __init__(self, value: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __int__(self) -> int: ...
    @typing.overload
    def __ne__(self, other: ReadingOf) -> bool: ...
    @typing.overload
    def __ne__(self, other: typing.Any) -> bool: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, state: typing.SupportsInt | typing.SupportsIndex) -> None: ...
    def __str__(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...

class CardReading:
    """
    A reading to expect, and the window in which to go on.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at(self) -> str: ...
    @property
    def expect(self) -> float: ...
    @property
    def of(self) -> ReadingOf: ...
    @property
    def window(self) -> float: ...

class CardLine:
    """
    One thing to do.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def corner(self) -> str: ...
    @property
    def expect(self) -> list[CardReading]: ...
    @property
    def key(self) -> str: ...
    @property
    def length_mm(self) -> tuple[float, float] | None: ...
    @property
    def minutes(self) -> float: ...
    @property
    def text(self) -> str: ...
    @property
    def ticks(self) -> list[str]: ...
    @property
    def way_round(self) -> str: ...

class CardStep:
    """
    A step of the working order.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def boxes(self) -> bool: ...
    @property
    def lines(self) -> list[CardLine]: ...
    @property
    def number(self) -> int: ...
    @property
    def title(self) -> str: ...

class CardValue:
    """
    What was measured, what is wanted, what comes of it.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def asks(self) -> Asks | None: ...
    @property
    def key(self) -> str: ...
    @property
    def least(self) -> float | None: ...
    @property
    def measured(self) -> float | None: ...
    @property
    def most(self) -> float | None: ...
    @property
    def now(self) -> float | None: ...
    @property
    def then(self) -> float | None: ...
    @property
    def tolerance(self) -> float | None: ...
    @property
    def tolerance_is_common_practice(self) -> bool: ...
    @property
    def uncertainty(self) -> float | None: ...
    @property
    def unit(self) -> str: ...
    @property
    def value(self) -> float | None: ...
    @property
    def window(self) -> float | None: ...
    @property
    def within(self) -> bool | None: ...

class Card:
    """
    The job in working order.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at(self) -> str: ...
    @property
    def car(self) -> str: ...
    @property
    def cautions(self) -> list[str]: ...
    @property
    def chance(self) -> float | None: ...
    @property
    def doubts(self) -> list[Doubt]: ...
    @property
    def frame(self) -> str: ...
    @property
    def minutes(self) -> float: ...
    @property
    def moves(self) -> list[str]: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def place(self) -> str: ...
    @property
    def proof(self) -> str: ...
    @property
    def steps(self) -> list[CardStep]: ...
    @property
    def title(self) -> str: ...
    @property
    def touches(self) -> bool: ...
    @property
    def values(self) -> list[CardValue]: ...
    @property
    def which(self) -> Which: ...
    @property
    def why(self) -> str: ...

class Expectation:
    """
    What the instruments will show at a wheel.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def camber_deg(self) -> float | None: ...
    @property
    def camber_deviation_deg(self) -> float | None: ...
    @property
    def flag_deviation_mm(self) -> float | None: ...
    @property
    def flag_difference_mm(self) -> float | None: ...
    @property
    def gauge_deg(self) -> float | None: ...
    @property
    def toe_deg(self) -> float | None: ...
    @property
    def toe_deviation_deg(self) -> float | None: ...

class Trial:
    """
    What is turned and packed in thought, counted from how it stands.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def packs_mm(self) -> dict[str, float | list[float]]: ...
    @packs_mm.setter
    def packs_mm(
        self,
        arg0: collections.abc.Mapping[
            str,
            typing.SupportsFloat
            | typing.SupportsIndex
            | collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
        ],
    ) -> None: ...
    @property
    def turns(self) -> dict[str, float]: ...
    @turns.setter
    def turns(self, arg0: collections.abc.Mapping[str, typing.SupportsFloat | typing.SupportsIndex]) -> None: ...

class TurnedAdjuster:
    """
    An adjuster that stands differently.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def after(self) -> float: ...
    @property
    def before(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def minutes(self) -> float: ...
    @property
    def words(self) -> str: ...

class ExpectedCorner:
    """
    What a wheel shows now and then, and the model's own outputs.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def corner(self) -> CornerId: ...
    @property
    def model_now(self) -> typing.Annotated[list[float], "FixedSize(13)"]: ...
    @property
    def model_then(self) -> typing.Annotated[list[float], "FixedSize(13)"]: ...
    @property
    def now(self) -> Expectation: ...
    @property
    def then(self) -> Expectation: ...
    @property
    def turned(self) -> list[TurnedAdjuster]: ...

class ExpectedTotal:
    """
    Total toe or camber difference of an axle, or the thrust angle.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def deviation_deg(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def now_deg(self) -> float: ...
    @property
    def then_deg(self) -> float: ...

class Expected:
    """
    The readings to expect after a change.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def car(self) -> str: ...
    @property
    def car_values(self) -> list[CarValue]: ...
    @property
    def corners(self) -> typing.Annotated[list[ExpectedCorner], "FixedSize(4)"]: ...
    @property
    def frame(self) -> str: ...
    @property
    def held(self) -> str: ...
    @property
    def minutes(self) -> float: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def totals(self) -> list[ExpectedTotal]: ...

class PadClosure:
    """
    A way round over steps from pad to pad, and how far it fails to close.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def closes(self) -> bool: ...
    @property
    def off_mm(self) -> Finding: ...
    @property
    def pads(self) -> list[CornerId]: ...

class Level:
    """
    How the place lies: the best plane of the four pads, and what is off it.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def across_mm_per_m(self) -> Finding: ...
    @property
    def by_pads(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[3, 4]"]: ...
    @property
    def closures(self) -> list[PadClosure]: ...
    @property
    def covariance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[3, 3]"]: ...
    @property
    def fore_aft_mm_per_m(self) -> Finding: ...
    @property
    def off_plane_mm(self) -> typing.Annotated[list[float], "FixedSize(4)"]: ...
    @property
    def pads_mm(self) -> typing.Annotated[list[float], "FixedSize(4)"]: ...
    @property
    def twist_mm(self) -> Finding: ...

class LevelTolerance:
    """
    How far off level a place may lie; common practice, no source.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def tilt_mm_per_m(self) -> float: ...
    @tilt_mm_per_m.setter
    def tilt_mm_per_m(self, arg0: typing.SupportsFloat | typing.SupportsIndex) -> None: ...
    @property
    def twist_mm(self) -> float: ...
    @twist_mm.setter
    def twist_mm(self, arg0: typing.SupportsFloat | typing.SupportsIndex) -> None: ...

class Packing:
    """
    What to put under which pad, and what is left then.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def across_mm_per_m(self) -> float: ...
    @property
    def fore_aft_mm_per_m(self) -> float: ...
    @property
    def looked_at(self) -> int: ...
    @property
    def pads_mm(self) -> typing.Annotated[list[float], "FixedSize(4)"]: ...
    @property
    def pieces(self) -> int: ...
    @property
    def proven(self) -> bool: ...
    @property
    def share(self) -> float: ...
    @property
    def twist_mm(self) -> float: ...
    @property
    def under_mm(self) -> typing.Annotated[list[list[float]], "FixedSize(4)"]: ...
    @property
    def within(self) -> bool: ...

class ShownOffLevel:
    """
    By how much instruments show otherwise than on level pads.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def gauge_deg(self) -> typing.Annotated[list[float], "FixedSize(4)"]: ...
    @property
    def scale_kg(self) -> typing.Annotated[list[float], "FixedSize(4)"]: ...

class OffLevel:
    """
    What tilt and twist of the pads do to camber gauges and scales.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def scales_tell(self) -> bool: ...
    @property
    def tilt(self) -> ShownOffLevel: ...
    @property
    def tilt_by_rates(self) -> ShownOffLevel: ...
    @property
    def twist(self) -> ShownOffLevel: ...
    @property
    def twist_by_rates(self) -> ShownOffLevel: ...
    @property
    def why_not(self) -> str: ...

class GaugeHere:
    """
    What a camber gauge shows at a wheel at another place and here.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def deviation_deg(self) -> float: ...
    @property
    def here_deg(self) -> float: ...
    @property
    def there_deg(self) -> float: ...

class OtherPlace:
    """
    What a car as it was read at another place will show here.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def gauges(self) -> typing.Annotated[list[GaugeHere | None], "FixedSize(4)"]: ...
    @property
    def values(self) -> list[CarValue]: ...

class Difference:
    """
    A value that both sheets have, and by how much it differs.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def by(self) -> float: ...
    @property
    def changed(self) -> bool: ...
    @property
    def derived(self) -> bool: ...
    @property
    def is_now(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def tolerance(self) -> float | None: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def was(self) -> float: ...
    @property
    def within(self) -> bool | None: ...

class Differences:
    """
    What has changed from one sheet to another.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def apart(self) -> list[str]: ...
    @property
    def covariance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def only_new(self) -> list[str]: ...
    @property
    def only_old(self) -> list[str]: ...
    @property
    def shared(self) -> list[str]: ...
    @property
    def values(self) -> list[Difference]: ...

class Cause:
    """
    What one cause makes of every difference, by the model.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def by(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, 1]"]: ...
    @property
    def kind(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def words(self) -> str: ...

class Left:
    """
    What of a difference no cause explains.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def by(self) -> float: ...
    @property
    def by_model(self) -> bool: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def unexplained(self) -> bool: ...

class Guess:
    """
    One cause that nobody said, and that alone would explain most of what is left.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def amount(self) -> float: ...
    @property
    def chi_square(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def p(self) -> float: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def words(self) -> str: ...

class Explained:
    """
    Why a car reads otherwise than before.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def causes(self) -> list[Cause]: ...
    @property
    def chi_square(self) -> float: ...
    @property
    def degrees(self) -> int: ...
    @property
    def differences(self) -> Differences: ...
    @property
    def guesses(self) -> list[Guess]: ...
    @property
    def held(self) -> str: ...
    @property
    def left(self) -> list[Left]: ...
    @property
    def left_covariance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def p(self) -> float: ...
    @property
    def turned(self) -> list[TurnedAdjuster]: ...

class BaselineValue:
    """
    A value as it was accepted.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def anew(self) -> float: ...
    @property
    def derived(self) -> bool: ...
    @property
    def key(self) -> str: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def value(self) -> float: ...

class InstrumentNames:
    """
    Which of several a sheet was read with.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def camber_gauge(self) -> str: ...
    @property
    def scale(self) -> str: ...
    @property
    def strings(self) -> str: ...

class Baseline:
    """
    A state of the car that was accepted.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at(self) -> str: ...
    @property
    def ballast_kg(self) -> dict[str, float]: ...
    @property
    def bars(self) -> str | None: ...
    @property
    def car(self) -> str: ...
    @property
    def car_digest(self) -> str: ...
    @property
    def covariance(self) -> typing.Annotated[numpy.typing.NDArray[numpy.float64], "[m, n]"]: ...
    @property
    def digest(self) -> str: ...
    @property
    def file(self) -> str: ...
    @property
    def instruments(self) -> InstrumentNames: ...
    @property
    def lengths_mm(self) -> typing.Annotated[list[dict[str, float]], "FixedSize(4)"]: ...
    @property
    def pads_mm(self) -> typing.Annotated[list[float], "FixedSize(4)"] | None: ...
    @property
    def place(self) -> str: ...
    @property
    def rack_locked(self) -> bool: ...
    @property
    def reason(self) -> str: ...
    @property
    def replaces(self) -> str: ...
    @property
    def settings(self) -> Settings: ...
    @property
    def sheet(self) -> str: ...
    @property
    def sheet_digest(self) -> str: ...
    @property
    def sheet_file(self) -> str: ...
    @property
    def struts_solid(self) -> bool: ...
    @property
    def values(self) -> list[BaselineValue]: ...
    @property
    def version(self) -> str: ...

class RestoreLine:
    """
    One adjuster on its way back.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def after(self) -> float: ...
    @property
    def before(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def minutes(self) -> float: ...
    @property
    def purpose(self) -> Purpose: ...
    @property
    def words(self) -> str: ...

class Restored:
    """
    The way back to an accepted state.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def lines(self) -> list[RestoreLine]: ...
    @property
    def minutes(self) -> float: ...
    @property
    def not_made(self) -> list[str]: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def settings(self) -> Settings: ...

class Accepted:
    """
    A baseline in its history.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def baseline(self) -> Baseline: ...
    @property
    def day(self) -> float | None: ...
    @property
    def in_chain(self) -> bool: ...
    @property
    def replaced_by(self) -> list[str]: ...

class Trend:
    """
    A line through what one value was in every baseline of the chain.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at(self) -> list[int]: ...
    @property
    def chance(self) -> float: ...
    @property
    def is_one(self) -> bool: ...
    @property
    def key(self) -> str: ...
    @property
    def noise(self) -> float: ...
    @property
    def over(self) -> float: ...
    @property
    def rate(self) -> float: ...
    @property
    def uncertainty(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def values(self) -> list[float]: ...

class History:
    """
    A folder of baselines.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def accepted(self) -> list[Accepted]: ...
    @property
    def car(self) -> str: ...
    @property
    def dated(self) -> bool: ...
    @property
    def faults(self) -> list[str]: ...
    @property
    def one_set(self) -> bool: ...
    @property
    def trends(self) -> list[Trend]: ...

class RecipePart:
    """
    One adjuster of a recipe: the exact amount, and what can be set.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def amount_mm(self) -> float: ...
    @property
    def key(self) -> str: ...
    @property
    def minutes(self) -> float: ...
    @property
    def nearest_mm(self) -> float: ...
    @property
    def nearest_shims(self) -> StackChoice | None: ...
    @property
    def nearest_words(self) -> str: ...
    @property
    def not_made(self) -> str: ...
    @property
    def turns(self) -> float | None: ...
    @property
    def words(self) -> str: ...

class Recipe:
    """
    What moves one output alone.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def by(self) -> float: ...
    @property
    def change(self) -> typing.Annotated[list[float], "FixedSize(13)"]: ...
    @property
    def inside(self) -> bool: ...
    @property
    def kept(self) -> list[Output]: ...
    @property
    def limits(self) -> list[str]: ...
    @property
    def minutes(self) -> float: ...
    @property
    def nearest_change(self) -> typing.Annotated[list[float], "FixedSize(13)"]: ...
    @property
    def nearest_minutes(self) -> float: ...
    @property
    def output(self) -> Output: ...
    @property
    def parts(self) -> list[RecipePart]: ...
    @property
    def reach(self) -> float: ...
    @property
    def refusal(self) -> str: ...

class Recipes:
    """
    A corner's outputs, each moved alone, the spring's length held.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def corner(self) -> CornerId: ...
    @property
    def now(self) -> typing.Annotated[list[float], "FixedSize(13)"]: ...
    @property
    def recipes(self) -> list[Recipe]: ...
    @property
    def spring_length_mm(self) -> float: ...

class CarAim:
    """
    A value of the car at rest that is to change, and by how much.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(self, what: str, by: typing.SupportsFloat | typing.SupportsIndex) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def at_flags_mm(self) -> float | None: ...
    @property
    def by(self) -> float: ...
    @property
    def what(self) -> str: ...

class CarRecipeAsk:
    """
    What is to change, what is kept, what may turn.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __init__(
        self,
        aims: collections.abc.Sequence[CarAim],
        keep: collections.abc.Sequence[str] | None = None,
        turn: collections.abc.Sequence[str] = [],
    ) -> None: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def aims(self) -> list[CarAim]: ...
    @property
    def keep(self) -> list[str] | None: ...
    @property
    def turn(self) -> list[str]: ...

class CarRecipeValue:
    """
    What a recipe of the whole car aims at or keeps.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def aim(self) -> bool: ...
    @property
    def at_flags_mm(self) -> float | None: ...
    @property
    def by(self) -> float: ...
    @property
    def change(self) -> float: ...
    @property
    def name(self) -> str: ...
    @property
    def nearest_change(self) -> float: ...
    @property
    def now(self) -> float: ...
    @property
    def sign(self) -> str: ...
    @property
    def tolerance(self) -> float: ...
    @property
    def unit(self) -> str: ...

class CarRecipe:
    """
    The turns that change some values of the car at rest and keep others.
    """
    def __getstate__(self) -> tuple[str, bytes]: ...
    def __setstate__(self, arg0: tuple[str, bytes]) -> None: ...
    @property
    def change(self) -> list[float]: ...
    @property
    def inside(self) -> bool: ...
    @property
    def limits(self) -> list[str]: ...
    @property
    def minutes(self) -> float: ...
    @property
    def nearest_change(self) -> list[float]: ...
    @property
    def nearest_minutes(self) -> float: ...
    @property
    def nearest_within(self) -> bool: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def now(self) -> list[float]: ...
    @property
    def outputs(self) -> list[RestOutput]: ...
    @property
    def parts(self) -> list[RecipePart]: ...
    @property
    def reach(self) -> float: ...
    @property
    def refusal(self) -> str: ...
    @property
    def values(self) -> list[CarRecipeValue]: ...

def accepted(readings: Readings, car: Car, reason: str, replaces: str) -> Baseline:
    """
    Raises InputError, OutOfReach.
    """

def alignment(
    corner: Corner,
    travel_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    rack_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
) -> numpy.typing.NDArray[numpy.float64]:
    """
    All outputs over states of equal count: shape (outputs, states). Raises OutOfReach.
    """

def amount(key: str, adjuster: Adjuster, words: Words, numbers: From) -> Amount:
    """
    What words say; a bare number counts from `numbers`. Raises InputError.
    """

def as_accepted(baseline: Baseline, car: Car) -> Car:
    """
    The car as it was set then.
    """

def as_read(car: Car, measured: Measured) -> Car:
    """
    The car as it stood when it was read: rods and shims of the readings win.
    """

def baseline_alone_from(source: Source) -> Baseline:
    """
    Whatever its car. Raises InputError.
    """

def baseline_from(source: Source, car: Car) -> Baseline:
    """
    Raises InputError, OutOfReach.
    """

def baseline_notes(baseline: Baseline, car: Car) -> list[str]:
    """
    What has come between the baseline and this car.
    """

def baseline_text(baseline: Baseline) -> str:
    """
    What that file holds.
    """

def best_packing(
    level: Level,
    packing_mm: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
    tolerance: LevelTolerance,
) -> Packing:
    """
    The fewest pieces that bring tilt and twist inside, or come nearest. Raises InputError.
    """

def car_after(car: Car, plan: Plan, which: Which) -> Car: ...
def car_aim(model: RestModel, what: str, words: Words) -> CarAim:
    """
    An aim in words, in the value's own unit; toe also in mm at the flags. Raises InputError.
    """

def car_from(source: Source) -> Car:
    """
    Reads a car file and checks its physical sense. Raises InputError with every problem of the file.
    """

def car_output_list() -> typing.Annotated[list[OutputInfo], "FixedSize(25)"]:
    """
    Every value of an axle or the car, in order.
    """

def car_recipe(
    model: RestModel,
    ask: CarRecipeAsk,
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> CarRecipe:
    """
    A recipe of the whole car at rest. Raises InputError and OutOfReach.
    """

def car_recipe_names(model: RestModel) -> list[str]:
    """
    What a recipe of this car may aim at or keep.
    """

def car_text(car: Car) -> str:
    """
    A complete car file of the car as it is set. Raises InputError.
    """

@typing.overload
def card(plan: Plan, car: Car, which: Which, chances: Chances) -> Card:
    """
    The job in working order; `chances` of the plan's choices are known.
    """

@typing.overload
def card(plan: Plan, car: Car, which: Which) -> Card:
    """
    The job in working order.
    """

def card_json(card: Card) -> str:
    """
    The key `card` of a saved card, as JSON.
    """

def cautions() -> list[str]:
    """
    What every card says once about safety.
    """

def chance(next: NextReading) -> BoxProbability:
    """
    That all targets that were read are met when read again.
    """

def check_pads(
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> None:
    """
    Raises InputError where a pad is too far off.
    """

def column_names() -> list[str]:
    """
    Names of all outputs with their units, in order.
    """

def common_tolerance(key: str, car: Car) -> float | None:
    """
    How far a value may lie off; common practice, no source.
    """

def compare(measured: Measured, targets: Targets) -> list[Comparison]: ...
def contradictions(measured: Measured, car: Car) -> Contradictions | None:
    """
    Nothing where the car does not stand by the model.
    """

def corner_load_list() -> typing.Annotated[list[OutputInfo], "FixedSize(4)"]:
    """
    What a corner carries, in order.
    """

def count_words(thread: Thread, turns: typing.SupportsFloat | typing.SupportsIndex) -> str:
    """
    Turns without their way, in words.
    """

def curve_list() -> typing.Annotated[list[OutputInfo], "FixedSize(20)"]:
    """
    What a curve shows beside the outputs, in order.
    """

def curves(
    corner: Corner,
    travel_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    rack_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
) -> numpy.typing.NDArray[numpy.float64]:
    """
    All outputs, then all curves, over states of equal count: shape (outputs + curves, states); rows that something is `missing_for` hold NaN. Raises OutOfReach.
    """

def default_choice(plan: Plan, chances: Chances) -> Which:
    """
    The choice a card is written for.
    """

def demand_new_file(path: str) -> None:
    """
    Raises InputError where a new file cannot be there: its name is taken, or there is no such folder.
    """

def demand_settable(
    car: Car, input: SweptInput, hold: SweepHold, value: typing.SupportsFloat | typing.SupportsIndex, change: bool
) -> None:
    """
    Raises InputError where an input cannot be set so.
    """

def did_you_mean(name: str, candidates: collections.abc.Sequence[str]) -> str:
    """
    What was probably meant by a misspelt name, as the end of a sentence; empty where nothing is near.
    """

def differences(old: Measured, new: Measured, car: Car) -> Differences:
    """
    Of all values that both sheets have; what both share cancels.
    """

def direct_spring_rows() -> typing.Annotated[list[str], "FixedSize(2)"]:
    """
    Rows that a spring without rocker needs.
    """

def done_instead(before: Car, after: Car, key: str, words: Words) -> tuple[Car, list[str]]:
    """
    The car after a card, one adjuster as it was really set, and notes on its shims. Raises InputError.
    """

def doubtful_words(doubts: collections.abc.Sequence[Doubt]) -> str:
    """
    What to look at again; empty without a doubt.
    """

@typing.overload
def doubts(car: Car) -> list[Doubt]: ...
@typing.overload
def doubts(measured: Measured, car: Car) -> list[Doubt]: ...
@typing.overload
def doubts(targets: Targets, measured: Measured, car: Car) -> list[Doubt]: ...
def doubts_of(plan: Plan) -> list[Doubt]: ...
def drawn_among(
    how: Sampling,
    count: typing.SupportsInt | typing.SupportsIndex,
    seed: typing.SupportsInt | typing.SupportsIndex,
    name: str,
    options: typing.SupportsInt | typing.SupportsIndex,
) -> numpy.typing.NDArray[numpy.uint64]:
    """
    Places drawn among so many options, by a seed and a name.
    """

def drawn_between(
    how: Sampling,
    count: typing.SupportsInt | typing.SupportsIndex,
    seed: typing.SupportsInt | typing.SupportsIndex,
    name: str,
    low: typing.SupportsFloat | typing.SupportsIndex,
    high: typing.SupportsFloat | typing.SupportsIndex,
) -> numpy.typing.NDArray[numpy.float64]:
    """
    Numbers drawn between two ends, by a seed and a name.
    """

def drawn_struts_mm(car: Car) -> typing.Annotated[list[float], "FixedSize(4)"]:
    """
    Eye to eye as drawn.
    """

def effects(
    car: Car,
    corner: CornerId,
    hold: Held,
    travel_mm: typing.SupportsFloat | typing.SupportsIndex,
    rack_mm: typing.SupportsFloat | typing.SupportsIndex,
) -> EffectTable:
    """
    Effect table of a corner, chassis frame. Raises OutOfReach.
    """

def expect(measured: Measured, before: Car, after: Car) -> Expected:
    """
    What `after` will read, where `measured` was read of `before`. Raises OutOfReach.
    """

def expect_here(here: Measured, there: Measured, car: Car) -> OtherPlace:
    """
    Raises InputError where the pads of a place were not read, and OutOfReach.
    """

def explain(old: Measured, was: Car, new: Measured, now: Car) -> Explained:
    """
    Both cars with the settings of their sheets. Raises OutOfReach.
    """

def fewest_touched(
    A: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, n]"],
    low: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, 1]"],
    high: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, 1]"],
    allowed: collections.abc.Sequence[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]],
    price: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, 1]"],
    node_limit: typing.SupportsInt | typing.SupportsIndex,
) -> TouchedSearch:
    """
    The cheapest unknowns to touch with low <= A x <= high. Raises ValueError.
    """

def first_page(card: Card) -> list[str]:
    """
    All that one must know, at most 24 lines of 80 letters.
    """

def flag_difference_mm(
    toe_deg: typing.SupportsFloat | typing.SupportsIndex,
    string_angle_deg: typing.SupportsFloat | typing.SupportsIndex,
    flag_span_mm: typing.SupportsFloat | typing.SupportsIndex,
) -> float:
    """
    Front flag less rear flag.
    """

def flags_words(difference_mm: typing.SupportsFloat | typing.SupportsIndex) -> str:
    """
    Front flag less rear flag without a bare sign.
    """

def forces(
    corner: Corner,
    load_N: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(3)"],
    travel_mm: typing.SupportsFloat | typing.SupportsIndex,
    rack_mm: typing.SupportsFloat | typing.SupportsIndex,
) -> Forces:
    """
    Forces of a corner for a load of the ground on the wheel at the contact. Raises OutOfReach.
    """

def gauge_zero_deg(measured: Measured) -> Finding:
    """
    The camber gauge's zero error.
    """

def history(folder: str) -> History:
    """
    All baselines of a folder. Raises InputError.
    """

def holds_with(car: Car, name: str) -> list[SweepHold]:
    """
    With what held an output of that name is given.
    """

def ideal_outer_deg(
    inner_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    track_over_wheelbase: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
) -> typing.Any:
    """
    Steer of the outer wheel, deg, by Ackermann's rule cot(outer) - cot(inner) = track/wheelbase.
    """

def input_as(role: str, input: Input) -> Input:
    """
    The same in another role: of two sheets, which.
    """

def input_error(problems: collections.abc.Sequence[Problem]) -> typing.Any:
    """
    An InputError to raise, with these problems.
    """

def input_names(inputs: collections.abc.Sequence[Input]) -> list[str]:
    """
    What each is called beside the others.
    """

@typing.overload
def input_of(loaded: Car) -> Input: ...
@typing.overload
def input_of(loaded: Settings) -> Input: ...
@typing.overload
def input_of(loaded: Readings) -> Input: ...
@typing.overload
def input_of(loaded: Targets) -> Input: ...
@typing.overload
def input_of(loaded: Skid) -> Input: ...
@typing.overload
def input_of(loaded: SweepFile) -> Input: ...
@typing.overload
def input_of(loaded: Baseline) -> Input: ...
def input_of_card(settings_after: Settings) -> Input: ...
def integer_least_squares(
    A: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, n]"],
    b: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, 1]"],
    allowed: collections.abc.Sequence[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]],
    count: typing.SupportsInt | typing.SupportsIndex,
    node_limit: typing.SupportsInt | typing.SupportsIndex,
) -> IntegerSearch:
    """
    The cheapest choices of |A x - b|^2 with x_i from allowed[i]. Raises ValueError.
    """

def is_baseline(source: Source) -> bool:
    """
    Whether it says that it is one.
    """

def is_pull_rod(
    outer: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(3)"],
    inner: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(3)"],
) -> bool:
    """
    Whether a rod with these ends, as drawn, pulls as the wheel rises.
    """

def joints(
    corner: Corner,
    travel_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    rack_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
) -> numpy.typing.NDArray[numpy.float64]:
    """
    Places of all points over states: shape (points, states, 3), mm, chassis frame. Raises OutOfReach.
    """

def judged(plan: Plan) -> int:
    """
    How many targets a verdict covers.
    """

def last_page(card: Card) -> list[str]:
    """
    What was measured, the proof, doubts and notes.
    """

def level(measured: Measured, car: Car) -> Level:
    """
    Tilt both ways and twist. Raises InputError where the pads were not read, and OutOfReach.
    """

def load_car(path: str) -> Car:
    """
    The same of a file.
    """

def load_card(path: str) -> Card:
    """
    A saved card, to look at; raises InputError.
    """

def load_settings(path: str, car: Car) -> Settings: ...
def made_of(measured: Measured, quantity: typing.SupportsInt | typing.SupportsIndex) -> list[PartOfVariance]:
    """
    The largest part first.
    """

def meets_targets(plan: Plan) -> bool:
    """
    Whether a plan was found that brings every target in that is judged.
    """

def member_names() -> typing.Annotated[list[str], "FixedSize(8)"]:
    """
    Names of all members, in order.
    """

def missing_for(corner: Corner, curve: typing.SupportsInt | typing.SupportsIndex) -> str:
    """
    Why the file does not give what a curve needs, by its place in `curve_list`; empty where it does.
    """

def missing_shims_mm(
    car: Car,
    keys: collections.abc.Sequence[str],
    packs_of_each_mm: collections.abc.Sequence[
        collections.abc.Sequence[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]]
    ],
    picked_of_each: collections.abc.Sequence[collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex]],
) -> list[float]:
    """
    Of each combination of packs the thickness of all shims that are missing for it. Raises InputError.
    """

def not_at_hand_words(
    car: Car, key: str, shims_mm: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]
) -> str:
    """
    Which pack has shims that are not at hand; else empty.
    """

def obstacle_names() -> typing.Annotated[list[str], "FixedSize(14)"]:
    """
    What may stand in the way of a state, by its status.
    """

def off_level(
    measured: Measured,
    car: Car,
    level: Level,
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> OffLevel:
    """
    Of the car as it stood when it was read, on these pads.
    """

def older_words(baseline: Baseline, replaced: Baseline) -> str:
    """
    That a baseline was read before the one that it replaces; empty where it was not.
    """

def on_solid_struts(
    model: RestModel,
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
    struts_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> SolidState:
    """
    The best plane of the car on solid struts. Raises OutOfReach.
    """

def on_tyres(model: RestModel) -> RestModel:
    """
    On its tyres. Raises InputError, OutOfReach.
    """

def output_list() -> typing.Annotated[list[OutputInfo], "FixedSize(13)"]:
    """
    Every output, in order.
    """

def pack_words(shims_mm: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]) -> str:
    """
    A pack in words, thickest shim first.
    """

def packs_at_hand(car: Car, key: str) -> list[list[float]]:
    """
    Every pack of a stack's shims and those in its box within its limits, from thin to thick. Raises InputError.
    """

def plan(
    car: Car, measured: Measured, targets: Targets, options: PlanOptions, doubts: collections.abc.Sequence[Doubt]
) -> Plan:
    """
    The best reachable turns and shims of the whole car. Raises OutOfReach and InputError.
    """

def point_errors(
    car: Car,
    corner: CornerId,
    held: Held,
    error_mm: typing.SupportsFloat | typing.SupportsIndex,
    bump_mm: typing.SupportsFloat | typing.SupportsIndex,
) -> list[PointError]:
    """
    Every coordinate of every point in turn. Raises InputError, OutOfReach.
    """

def point_names() -> typing.Annotated[list[str], "FixedSize(17)"]:
    """
    Names of all points, in order.
    """

def point_table_problems(file: str, rows: collections.abc.Sequence[PointRow], all_named: bool) -> list[Problem]:
    """
    What is wrong with the rows together.
    """

def present_length_mm(car: Car, corner: CornerId, length: str) -> float | None:
    """
    Eye to eye as set; None where the corner does not have the parts.
    """

def probability_in_box(
    mean: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, 1]"],
    covariance: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, n]"],
    lower: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, 1]"],
    upper: typing.Annotated[numpy.typing.ArrayLike, numpy.float64, "[m, 1]"],
    accuracy: typing.SupportsFloat | typing.SupportsIndex,
) -> BoxProbability:
    """
    Probability that normal values lie within limits, all at the same time. Raises ValueError.
    """

def rates_per_travel(
    corner: Corner,
    hold: Held,
    travel_mm: typing.SupportsFloat | typing.SupportsIndex,
    rack_mm: typing.SupportsFloat | typing.SupportsIndex,
) -> list[typing.Annotated[list[float], "FixedSize(13)"]]:
    """
    By how much every adjuster's effect on every output, per mm, grows per mm of travel. Raises OutOfReach.
    """

def read_source(path: str) -> Source:
    """
    Reads a file, once. Raises InputError where there is none or it cannot be read.
    """

def readings_from(source: Source, car: Car) -> Readings: ...
def readings_of(baseline: Baseline, car: Car) -> Readings:
    """
    Its sheet.
    """

def recipe_change(corner: Corner, output: str, words: Words) -> ValueChange:
    """
    By how much a recipe's output is to change; toe also in mm at the flags. Raises InputError.
    """

def recipes(
    car: Car, corner: CornerId, by: collections.abc.Mapping[str, typing.SupportsFloat | typing.SupportsIndex]
) -> Recipes:
    """
    Recipes of a corner, chassis frame. Raises InputError and OutOfReach.
    """

def reduce(readings: Readings, car: Car) -> Measured:
    """
    Readings to values with covariance. Raises OutOfReach.
    """

def reduce_drawn(
    readings: Readings,
    car: Car,
    draws: typing.SupportsInt | typing.SupportsIndex,
    seed: typing.SupportsInt | typing.SupportsIndex,
) -> Measured:
    """
    The same by propagation of distributions. Raises OutOfReach, and InputError for too few draws.
    """

def repeats(measured: Measured, car: Car) -> list[Repeat]:
    """
    Readings that were taken more than once.
    """

def rest(
    model: RestModel,
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> RestState:
    """
    The car at rest. Raises OutOfReach.
    """

def rest_energy(
    model: RestModel,
    pose: ChassisPose,
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> RestEnergy:
    """
    Energy with the chassis held at a pose, every wheel on its pad. Raises OutOfReach.
    """

def rest_forces(model: RestModel, state: RestState) -> RestForces:
    """
    Forces in every corner and in the bars of a car at rest. Raises OutOfReach.
    """

def rest_model(car: Car) -> RestModel:
    """
    Reads a car once. Raises OutOfReach.
    """

def rest_outputs(model: RestModel) -> list[RestOutput]:
    """
    Every value of this car at rest, in order.
    """

def rest_table(
    model: RestModel,
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> RestTable:
    """
    The effect table of the whole car at rest. Raises OutOfReach.
    """

def rest_variables(model: RestModel) -> list[RestVariable]:
    """
    Adjusters, pads, ballast and the rack, in order.
    """

def restore(car: Car, baseline: Baseline) -> Restored:
    """
    From how the car is set to how it was set then.
    """

def ride_height_info() -> OutputInfo:
    """
    The height of a named point.
    """

def rocker_rows() -> typing.Annotated[list[str], "FixedSize(6)"]:
    """
    Rows that a spring on a rocker needs.
    """

def row_name(adjuster: Adjuster, per: Per) -> str:
    """
    What a row is about, in words.
    """

def save_baseline(baseline: Baseline, path: str) -> None:
    """
    Writes a new file; raises InputError where it exists.
    """

def save_car(car: Car, path: str) -> None:
    """
    Writes it to a new file; raises InputError where it exists.
    """

def save_card(path: str, plan: Plan, car: Car, which: Which, inputs: collections.abc.Sequence[Input]) -> None:
    """
    Writes a new card file without the plan; raises InputError where it exists.
    """

def save_settings(settings: Settings, path: str) -> None:
    """
    Writes a new file, aside and then renamed; raises InputError where it exists.
    """

def say_when_slow(text: str, seconds: typing.SupportsInt | typing.SupportsIndex) -> None:
    """
    Writes a text to stderr once this process has taken so long, compiled code or not.
    """

def setting_of(amount: Amount, adjuster: Adjuster) -> float:
    """
    Turns from as drawn, or the whole thickness of a pack.
    """

def settings_after(car: Car, plan: Plan, which: Which) -> Settings: ...
def settings_beside(car: Car) -> list[Doubt]:
    """
    Settings files that are not named. Reads the folder.
    """

def settings_of(car: Car) -> Settings: ...
def settings_of_card(
    path: str,
    car: Car,
    inputs: collections.abc.Sequence[Input],
    through: typing.SupportsInt | typing.SupportsIndex | None = None,
) -> Settings:
    """
    The settings once a saved card of this car is done, or its steps up to `through`; raises InputError.
    """

def settled(measured: Measured, car: Car) -> list[Settled]:
    """
    Of every kind that was read in more than one set.
    """

def sheet(car: Car) -> Sheet:
    """
    The fields that readings of this car take, as it is set.
    """

def shim_fault(mm: typing.SupportsFloat | typing.SupportsIndex) -> str:
    """
    What cannot be about a shim; empty where nothing is wrong.
    """

@typing.overload
def skid_from(source: Source) -> Skid: ...
@typing.overload
def skid_from(source: Source, car: Car) -> Skid: ...
def sobol_indices(
    a: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    b: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    ab: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
) -> SobolIndices:
    """
    Sobol's indices of an input: outputs at two samples, and at the first with this input of the second.
    """

def solid_outputs(model: RestModel) -> list[RestOutput]:
    """
    Values that a car on solid struts has, in order.
    """

def solid_table(
    model: RestModel,
    pads_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
    struts_mm: typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(4)"],
) -> RestTable:
    """
    The effect table of the whole car with its struts held. Raises OutOfReach.
    """

def stack_choices(
    fitted_mm: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
    box_mm: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
    limits_mm: tuple[typing.SupportsFloat | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex] | None,
) -> list[StackChoice]:
    """
    Every total that can be stacked from fitted and boxed shims within the limits, ascending.
    """

def stack_together(
    fitted_of_each_mm: collections.abc.Sequence[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]],
    box_mm: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
    totals_wanted_mm: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
) -> list[StackChoice] | None:
    """
    Stacks that share one box, each with its wanted total at the same time; None where the shims do not.
    """

def steer_list() -> typing.Annotated[list[OutputInfo], "FixedSize(6)"]:
    """
    What `steering` gives, in order.
    """

def steering(
    car: Car,
    rack_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    travel_mm: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
) -> numpy.typing.NDArray[numpy.float64]:
    """
    Steer of the front wheels over states of equal count: shape (6, states). Raises OutOfReach.
    """

def steps_page(card: Card) -> list[str]:
    """
    The steps in working order, with room to write.
    """

def stop_at_interrupt(code: typing.SupportsInt | typing.SupportsIndex) -> None:
    """
    From now on SIGINT ends this process at once with this exit code, compiled code or not.
    """

def strings_read(measured: Measured, car: Car) -> StringsRead | None:
    """
    How the strings ran; None where they were not read.
    """

def sweep(
    car: Car,
    hold: SweepHold,
    moved: Moved,
    inputs: collections.abc.Sequence[SweptInput],
    changes: collections.abc.Sequence[bool],
    values: list[numpy.typing.NDArray[numpy.float64]],
    missing_mm: numpy.typing.NDArray[numpy.float64] | None,
    outputs: collections.abc.Sequence[SweptOutput],
    shape: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex],
    part: typing.Annotated[collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex], "FixedSize(2)"],
    numbers: numpy.typing.NDArray[numpy.float64],
    codes: numpy.typing.NDArray[numpy.int8],
    short_by: numpy.typing.NDArray[numpy.float64],
    threads: typing.SupportsInt | typing.SupportsIndex,
    progress: typing.Any,
) -> None:
    """
    States part[0] up to part[1] of the shape that all values have, and missing_mm of shims where it is given, into the caller's memory: numbers (outputs, states), codes (status and corner, states), short_by (mm and N, states). Sees Ctrl-C within 50 ms and calls progress(states done) as often.
    """

def sweep_file_from(source: Source, car: Car) -> SweepFile:
    """
    Reads a sweep of a car. Raises InputError.
    """

def sweep_inputs(car: Car, hold: SweepHold, moved: Moved) -> list[SweptInput]:
    """
    All that a sweep may set, in order.
    """

def sweep_mask_names() -> typing.Annotated[list[str], "FixedSize(4)"]:
    """
    What a table of states calls status, corner and the amounts by which they fall short.
    """

def sweep_outputs(car: Car, hold: SweepHold) -> list[SweptOutput]:
    """
    All that a sweep gives, in order. Raises OutOfReach.
    """

def table_point_names() -> list[str]:
    """
    What a row of a table of points may be of.
    """

def targets_from(source: Source, car: Car) -> Targets: ...
def targets_of(baseline: Baseline, now: Measured, car: Car) -> Targets:
    """
    What was accepted as what is wanted, within common tolerances.
    """

def targets_that_last(skid: Skid, asked: WearAsked, measured: Measured, car: Car) -> Targets:
    """
    Raises InputError where a point tells no height that lasts so far.
    """

def tried(car: Car, trial: Trial) -> tuple[Car, list[str]]:
    """
    The car with a trial done, and notes on what cannot be locked or stacked. Raises InputError.
    """

def turns_from_drawn(amount: Amount, thread: Thread) -> float: ...
def turns_from_now(amount: Amount, thread: Thread) -> float: ...
def turns_words(adjuster: Adjuster, turns: typing.SupportsFloat | typing.SupportsIndex) -> str:
    """
    Turns and their way, in words.
    """

def unpredicted(plan: Plan) -> list[str]:
    """
    Targets that were read, of which the model says nothing as the car is held.
    """

def unread(plan: Plan) -> list[str]:
    """
    Targets that nothing read answers.
    """

def usual_list() -> typing.Annotated[list[Usual], "FixedSize(86)"]:
    """
    What the numbers of a car and a clipboard usually are.
    """

def way_words(adjuster: Adjuster, amount_mm: typing.SupportsFloat | typing.SupportsIndex) -> str:
    """
    The way of an amount in words.
    """

@typing.overload
def wear(skid: Skid, asked: WearAsked) -> Wear:
    """
    Raises InputError where no point has a rate.
    """

@typing.overload
def wear(skid: Skid, asked: WearAsked, car: Car) -> Wear: ...
def wheel_rates(model: RestModel, state: RestState) -> typing.Annotated[list[AxleRates], "FixedSize(2)"]:
    """
    Wheel rates of a car at rest, the chassis held: front, rear.
    """

def with_ballast(
    model: RestModel, kg: collections.abc.Mapping[str, typing.SupportsFloat | typing.SupportsIndex]
) -> RestModel:
    """
    With other ballast, kg by name. Raises InputError.
    """

def with_bar(car: Car, axle: typing.SupportsInt | typing.SupportsIndex, connected: bool, blade: str = "") -> Car:
    """
    The car with the bar of its front (0) or rear (1) axle on or off, and this blade in it. Raises InputError.
    """

def with_points_moved(
    car: Car,
    by_mm: collections.abc.Mapping[
        str, typing.Annotated[collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], "FixedSize(3)"]
    ],
    moved: Moved,
) -> Car:
    """
    The car with points moved by (x, y, z), by "corner.point". Raises InputError.
    """

def with_rack(model: RestModel, rack_mm: typing.SupportsFloat | typing.SupportsIndex) -> RestModel:
    """
    With its rack moved, + = to the left. Raises InputError.
    """

def with_settings(car: Car, settings: Settings) -> Car:
    """
    The car with these settings; raises InputError where a limit is broken.
    """

def worth_reading_again(plan: Plan, which: Which) -> ReadAgain | None:
    """
    The reading that, taken once more and averaged, raises the chance most; None where nothing is read.
    """

@typing.overload
def write_new_file(path: str, content: bytes) -> None:
    """
    The same for bytes.
    """

@typing.overload
def write_new_file(path: str, text: str) -> None:
    """
    Writes aside and renames; raises InputError where the file exists.
    """

AXIS_DIRECTION: str = "rocker.axis_direction"
RIGID_CHASSIS_WORDS: str = "The chassis is taken as rigid: the file gives no chassis_twist_Nm_per_deg. A real one twists, and the scales then show 10 to 20 % less of a change in cross weight (common practice, no source)."
__version__: str
card_format: str = "shimwise-card/1"
last_step: int = 10
