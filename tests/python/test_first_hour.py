"""The first hour: what scripts/first-hour types ends with the first line that differs."""

import subprocess
from pathlib import Path

import first_hour
import pytest
from pages import ROOT


def test_a_page_is_typed_in_one_shell_until_a_line_differs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "page.md"
    right = "```console\n$ mkdir car && cd car\n```\n```csv a.csv\n1,2\n```\n```console\n$ cat a.csv\n1,2\n```\n"
    page.write_text(right)
    assert first_hour.main(page) == 0
    assert capsys.readouterr().out == "   $ mkdir car && cd car\n   $ (a.csv saved)\n   $ cat a.csv\n"
    page.write_text(
        right + "```console\n$ shimwise --version\nshimwise, version none\n```\n```console\n$ touch late\n```\n"
    )
    assert first_hour.main(page) == 1
    said = capsys.readouterr()
    assert said.err.startswith("page.md:12: shimwise --version prints\nshimwise, version ")
    assert "late" not in said.out


def test_the_script_plays_the_readme_and_a_car_of_ones_own() -> None:
    script = ROOT / "scripts/first-hour"
    assert "for page in README.md docs/own-car.md; do" in script.read_text()
    run = subprocess.run([script, "--instaled"], capture_output=True, text=True, check=False)
    assert run.returncode == 2
    assert "--installed" in run.stderr


def test_a_compilers_warning_ends_scripts_lint_and_no_build() -> None:
    names = [*ROOT.glob("CMake*"), ROOT / "pyproject.toml", *ROOT.glob("scripts/*")]
    names += [path for folder in ("cpp", "python", "tests") for path in (ROOT / folder).rglob("CMakeLists.txt")]
    asked = [path.name for path in names if path.is_file() and "Wall" in path.read_text()]
    assert asked == ["CMakeLists.txt"]
    for path in filter(Path.is_file, names):
        text = path.read_text().replace("clang-format --dry-run -Werror", "")
        assert not [word for word in ("Werror", "WARNING_AS_ERROR") if word in text], path
    assert "if grep -B2 -A8 'warning:' \"$log\" >&2; then exit 1; fi" in (ROOT / "scripts/lint").read_text()
