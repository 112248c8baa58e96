"""A card of the compiled part, which a C++ program saves, beside that of `shimwise plan --save`."""

import json
from pathlib import Path

import shimwise as sw
from shimwise import _core
from shimwise.cli import commands


def saved_by_command(folder: Path, inputs: list[str]) -> dict[str, object]:
    path = folder / "by_command.json"
    commands.main(["plan", *inputs, "--save", str(path)], prog_name="shimwise", standalone_mode=False)
    return json.loads(path.read_text(encoding="utf-8"))


def test_both_cards_say_the_same_but_for_the_plan_and_both_are_done(tmp_path: Path) -> None:
    inputs = [str(path) for path in sw.demo_files()]
    car = sw.load_car(inputs[0])
    taken, wanted = sw.load_readings(inputs[1], car), sw.load_targets(inputs[2], car)
    plan = sw.plan(car, taken.reduce(), wanted)
    read = [_core.input_of(car.core), _core.input_of(taken.core), _core.input_of(wanted)]
    path = str(tmp_path / "by_library.json")
    _core.save_card(path, plan.core, car.core, _core.Which.__members__[plan.choice], read)
    ours, theirs = json.loads(Path(path).read_text(encoding="utf-8")), saved_by_command(tmp_path, inputs)
    assert list(theirs) == [*ours, "plan"]
    del theirs["plan"]
    assert json.dumps(ours) == json.dumps(theirs)  # the order of the keys too
    for one in (path, str(tmp_path / "by_command.json")):
        settings = _core.load_card(one, car.core, read[:1])
        expected = plan.settings_after()
        assert (settings.turns, settings.shims_mm, settings.box_mm) == (
            expected.turns,
            expected.shims_mm,
            expected.box_mm,
        )
