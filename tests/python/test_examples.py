"""Every example of README.md and docs/ runs, and prints what the page says it prints.

The blocks of a page run in their order, in one folder that holds the demo car's files:
```python   in one namespace;
```console  each line `$ ..` is typed into one shell; the lines under it are compared, `...` stands for any lines or
            rest of a line; a call that ends with another exit code than 0 says so: ```console exit=2. README's shell is
            a stranger's: in the project's folder, with an empty home and no `shimwise` on its path;
```cmake    the CMakeLists.txt of the page's programs;
```cpp      a whole program, built by that project (or README's) against the installed library, and run;
```toml     says what it is: ```toml file is loaded through the library by its format line, readings, targets,
            settings, skids and sweeps for the demo car; ```toml fragment is parsed;
```json     parsed;
```csv      written as the file that it names, for the calls under it.
"""

import atexit
import json
import shutil
import subprocess
import tomllib
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from pages import CHECKED, ROOT, Block, Shell, blocks_of, matches, play

import shimwise as sw

README = ROOT / "README.md"
PAGES = [README, *sorted((ROOT / "docs").rglob("*.md"))]


@cache
def installed() -> Path:
    """The library of the dev build, installed as a user would."""
    prefix = Path(mkdtemp(prefix="shimwise-installed-"))
    atexit.register(shutil.rmtree, prefix, ignore_errors=True)
    built(["cmake", "--install", ROOT / "build/release", "--prefix", prefix])
    return prefix


def built(command: list[str | Path], place: str = "") -> None:
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert run.returncode == 0, f"{place}\n{run.stdout}{run.stderr}"


def run_cmake(block: Block, folder: Path) -> None:
    """The project of the programs that follow."""
    project = folder / "project"
    project.mkdir()
    (project / "CMakeLists.txt").write_text(block.text)


def run_cpp(block: Block, folder: Path) -> None:
    """Built by the page's project, or by README's, against the installed library."""
    project = folder / "project"
    if not project.exists():
        (cmake,) = [b for b in blocks_of(README, README.read_text()) if b.language == "cmake"]
        run_cmake(cmake, folder)
    (project / "my_car.cpp").write_text(block.text)
    build = project / "build"
    built(["cmake", "-G", "Ninja", "-S", project, "-B", build, f"-DCMAKE_PREFIX_PATH={installed()}"], block.place)
    built(["cmake", "--build", build], block.place)
    run = subprocess.run([build / "my_car"], cwd=folder, capture_output=True, text=True, check=False)
    assert run.returncode == 0, f"{block.place}\n{run.stdout}{run.stderr}"


def run_toml(block: Block, folder: Path) -> None:
    contents = tomllib.loads(block.text)
    if block.words == ["fragment"]:
        return
    assert block.words == ["file"], f"{block.place}: a toml block is a `file` or a `fragment`"
    file = folder / "example.toml"
    file.write_text(block.text)
    car = sw.demo_car()
    match contents["format"]:
        case "shimwise-car/1":
            assert sw.load_car(file).name == contents["name"]
        case "shimwise-readings/1":
            assert sw.load_readings(file, car).reduce().keys
        case "shimwise-targets/1":
            sw.load_targets(file, car)
        case "shimwise-settings/1":
            car.with_settings(file)
        case "shimwise-skid/1":
            assert sw.skid(file, car).wear.points
        case "shimwise-sweep/1":
            assert not sw.sweep_file(car, file).status.any()
        case other:
            pytest.fail(f"{block.place}: format {other}")


def run_page(page: Path, text: str, folder: Path) -> int:
    """Runs the blocks of a page in `folder`; returns how many were checked."""
    namespace: dict[str, object] = {"__name__": page.stem}
    checked = [block for block in blocks_of(page, text) if block.language in CHECKED]
    stranger = page == README
    with Shell(ROOT if stranger else folder, home=folder, activated=not stranger) as shell:
        for block in checked:
            match block.language:
                case "python":
                    exec(compile("\n" * (block.line - 1) + block.text, page, "exec"), namespace)  # noqa: S102
                case "console" | "csv":
                    play(block, shell)
                case "cmake":
                    run_cmake(block, folder)
                case "cpp":
                    run_cpp(block, folder)
                case "toml":
                    run_toml(block, folder)
                case "json":
                    json.loads(block.text)
    return len(checked)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for file in (ROOT / "python/shimwise/data").glob("*.toml"):
        shutil.copy(file, tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MPLBACKEND", "Agg")
    return tmp_path


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_examples_of_the_page_run(page: Path, folder: Path) -> None:
    checked = run_page(page, page.read_text(), folder)
    assert checked > 0 or page != README


@pytest.mark.parametrize(
    "text",
    [
        "```python\nraise ValueError\n```",
        "```python\nx = 1\n```\n```python\nassert x == 2\n```",
        "```console\n$ shimwise --version\nno such version\n```",
        "```console\n$ shimwise no-such-command\n```",
        "```console\n$ no-such-command\n```",
        "```console\nno command\n```",
        "```console\n$ mkdir there && cd there\n```\n```console\n$ pwd\nelsewhere\n```",
        "```console\n$ exit\n```",
        "```cpp\nint main() { return 1; }\n```",
        "```cmake\nno_such_command()\n```\n```cpp\nint main() { return 0; }\n```",
        "```toml fragment\nx = \n```",
        "```toml\nx = 1\n```",
        "```toml file\nx = 1\n```",
        '```toml file\nformat = "shimwise-targets/1"\n[car]\nrake = { value_mm = 12.0 }\n```',
        "```csv\na,b\n```",
        "```csv points.csv\ncorner,point\n```\n```console\n$ shimwise new mycar --points points.csv\n```",
        "```pyhton\n1\n```",
        "```\nno language\n```",
        "```python\nno end\n",
    ],
)
def test_a_page_whose_example_is_wrong_fails(text: str, folder: Path) -> None:
    with pytest.raises((AssertionError, ValueError, LookupError, sw.InputError, pytest.fail.Exception)):
        run_page(Path("page.md"), text, folder)


def test_a_page_whose_examples_are_right_passes(folder: Path) -> None:
    text = """
```python
x = 1
```
```python
assert x == 1
```
```console exit=2
$ shimwise no-such-command
...
```
```cpp
#include "shimwise/units.hpp"
int main() { return shimwise::pi > 3.0 ? 0 : 1; }
```
```toml fragment
x = 1
```
```toml file
format = "shimwise-targets/1"
[front_left]
camber = { value_deg = -2.6 }
```
```console
$ mkdir there && cd there
```
```csv points.csv
corner,point
```
```console exit=2
$ shimwise new mycar --points points.csv
...
```
```console
$ ls ../there
points.csv
```
"""
    assert run_page(Path("page.md"), text, folder) == 10


def test_a_stranger_has_no_program_on_the_path(tmp_path: Path) -> None:
    with Shell(ROOT, home=tmp_path, activated=False) as shell:
        assert shell.run("shimwise")[0] == 127
        assert shell.run("cd && pwd") == (0, [str(tmp_path)])


@pytest.mark.parametrize(
    ("expected", "printed", "same"),
    [
        (["a", "b"], ["a", "b"], True),
        (["a"], ["a", "b"], False),
        (["a", "b"], ["a"], False),
        (["a", "...", "d"], ["a", "b", "c", "d"], True),
        (["a", "...", "d"], ["a", "b", "c"], False),
        (["version ..."], ["version 0.1"], True),
        (["version ..."], ["Version 0.1"], False),
    ],
)
def test_output_is_compared_line_by_line(expected: list[str], printed: list[str], same: bool) -> None:
    assert matches(expected, printed) is same
