"""Pictures as files, from Python and the command line: written with care, the same bytes each time."""

from __future__ import annotations

import hashlib
import itertools
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from figures import CORNERS, SHIFTED, VIEWS

import shimwise as sw
from shimwise import _core


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


def changed(folder: Path, old: str, new: str) -> None:
    text = sw.demo_files().car.read_text(encoding="utf-8")
    assert old in text
    (folder / "wren.toml").write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.parametrize(("old", "new", "said"), [
    ("cg_mm = [-1420.0, 4.0", "cg_mm = [-1420.0, 300.0", "doubtful: shimwise check says why"),
    ('name = "Wren"', 'name = "Wren"  # INVENTED', "with lines that say INVENTED"),
])  # fmt: skip
def test_check_says_with_a_picture_all_that_it_says_without(tmp_path: Path, old: str, new: str, said: str) -> None:
    changed(tmp_path, old, new)
    plain = check_plot(tmp_path, "one.svg").stdout.splitlines()
    drawn = [line for line in plain if not line.startswith("one.svg: ")]
    bare = subprocess.run(
        [sys.executable, "-m", "shimwise.cli", "check", "wren.toml"], cwd=tmp_path, capture_output=True, text=True,
        check=True,
    ).stdout.splitlines()  # fmt: skip
    assert [line for line in drawn if line] == bare
    assert said in (tmp_path / "one.svg").read_text(encoding="utf-8")
    refused = check_plot(tmp_path, "none/one.svg", code=2).stdout.splitlines()
    assert refused == bare[:-1]  # all but where it comes from


def test_what_the_drawing_library_warns_of_is_said_in_a_sentence(tmp_path: Path) -> None:
    changed(tmp_path, 'name = "Wren"', 'name = "\N{CJK UNIFIED IDEOGRAPH-65E5} Wren"')
    done = check_plot(tmp_path, "one.png")
    said = [line for line in done.stdout.splitlines() if "Glyph 26085" in line]
    assert said[0].startswith("  ! one.png: Glyph 26085")
    assert not done.stderr
    notes = json.loads(check_plot(tmp_path, "two.png", "--json").stdout)["notes"]
    assert [note.split(" (")[0] for note in notes] == ["two.png: Glyph 26085"]


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
