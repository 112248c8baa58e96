"""A card that a C++ program saves, beside that of `shimwise plan --save`; and a saved one shown again."""

import json
import pickle
from pathlib import Path

import pytest

import shimwise as sw
from shimwise import _core
from shimwise.cli import commands


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("card") / "card.json"
    run("plan", *map(str, sw.demo_files()), "--save", str(path))
    return path


def run(*words: str) -> None:
    commands.main(list(words), prog_name="shimwise", standalone_mode=False)


def test_both_cards_say_the_same_but_for_the_plan_and_both_are_done(saved: Path, tmp_path: Path) -> None:
    inputs = [str(path) for path in sw.demo_files()]
    car = sw.load_car(inputs[0])
    taken, wanted = sw.load_readings(inputs[1], car), sw.load_targets(inputs[2], car)
    plan = sw.plan(car, taken.reduce(), wanted)
    read = [_core.input_of(car.core), _core.input_of(taken.core), _core.input_of(wanted)]
    path = str(tmp_path / "by_library.json")
    _core.save_card(path, plan.core, car.core, _core.Which.__members__[plan.choice], read)
    ours, theirs = json.loads(Path(path).read_text(encoding="utf-8")), json.loads(saved.read_text(encoding="utf-8"))
    theirs = {key: value for key, value in theirs.items() if key not in ("plan", "doubts", "unread", "unpredicted")}
    assert list(theirs) == list(ours)
    assert json.dumps(ours) == json.dumps(theirs)  # the order of the keys too
    for one in (path, str(saved)):
        settings = _core.settings_of_card(one, car.core, read[:1])
        expected = plan.settings_after()
        assert (settings.turns, settings.shims_mm, settings.box_mm) == (
            expected.turns,
            expected.shims_mm,
            expected.box_mm,
        )


def test_a_saved_card_is_shown_as_the_plan_showed_it(saved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    card = sw.load_card(str(saved))
    car, readings, targets = (str(path) for path in sw.demo_files())
    model = sw.load_car(car)
    plan = sw.plan(model, sw.load_readings(readings, model).reduce(), sw.load_targets(targets, model))
    assert card.text() == plan.card().text() == repr(card)
    assert plan.card().text() in plan.text()
    capsys.readouterr()
    run("card", str(saved))
    assert capsys.readouterr().out.split() == card.text().split()
    run("card", str(saved), "--json")
    assert json.loads(capsys.readouterr().out) == card.as_dict() == json.loads(saved.read_text("utf-8"))["card"]
    assert len(card.first_page.splitlines()) <= 24
    assert max(len(line) for line in card.text().splitlines()) <= 80


def test_a_card_does_not_change_and_can_be_pickled(saved: Path) -> None:
    card = sw.load_card(str(saved))
    with pytest.raises(AttributeError, match="a card does not change"):
        card.core = None  # type: ignore[assignment]
    assert pickle.loads(pickle.dumps(card)).text() == card.text()  # noqa: S301


def test_done_through_a_step_leaves_the_rest(saved: Path, tmp_path: Path) -> None:
    car = str(sw.demo_files()[0])
    run("done", car, str(saved), "--through", "3", "--out", str(tmp_path / "after.toml"))
    turned = {line.key for step in sw.load_card(str(saved)).core.steps if step.number <= 3 for line in step.lines}
    model = sw.load_car(car)
    left = _core.load_settings(str(tmp_path / "after.toml"), model.core)
    stood = model.settings
    moved = {key for key in stood.turns if left.turns[key] != stood.turns[key]}
    moved |= {key for key in stood.shims_mm if left.shims_mm[key] != stood.shims_mm[key]}
    assert moved == turned - {""} != set()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        ("[]", "format = None: needs"),
        ('{"format": "shimwise-card/1"}', "card: needs a table: the card itself"),
        ('{"format": "shimwise-card/1", "card": {"car": 1}}', "card.car = 1: needs a text"),
    ],
)
def test_what_is_no_card_is_said_by_file_and_field(tmp_path: Path, content: str, sentence: str) -> None:
    path = tmp_path / "no_card.json"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(sw.InputError) as error:
        sw.load_card(str(path))
    assert f"{path}: {sentence}" in str(error.value)
