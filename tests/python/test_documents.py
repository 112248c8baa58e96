"""Links and pictures of README.md, DEVELOPERS.md and docs/ are there; the pictures are what their script draws."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from shimwise import _core

ROOT = Path(__file__).resolve().parents[2]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
PICTURES = ROOT / "docs/pictures"


def links_of(text: str) -> list[str]:
    text = re.sub(r"^```.*?^```$", "", text, flags=re.DOTALL | re.MULTILINE)
    return re.findall(r"\]\(([^)\s]+)\)", text)


def anchors_of(text: str) -> set[str]:
    """Anchors of a page's headings, as code hosts make them."""
    titles = re.findall(r"^#+ (.+)$", re.sub(r"^```.*?^```$", "", text, flags=re.DOTALL | re.MULTILINE), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


def broken_links(page: Path, text: str) -> list[str]:
    broken = []
    for link in links_of(text):
        if link.startswith(("http://", "https://")):
            continue
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        there = target.is_file() or target.is_dir()
        if not there or (anchor and anchor not in anchors_of(text if target == page else target.read_text())):
            broken.append(link)
    return broken


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_lead_somewhere(page: Path) -> None:
    assert not broken_links(page, page.read_text())


def test_a_link_to_nowhere_is_found() -> None:
    text = "# One word\n[a](docs/none.md) [b](#two) [c](#one-word) [d](docs/README.md#none) ![e](LICENSE)"
    assert broken_links(ROOT / "README.md", text) == ["docs/none.md", "#two", "docs/README.md#none"]


def test_pictures_are_drawn_by_their_script_and_shown(tmp_path: Path) -> None:
    subprocess.run([sys.executable, PICTURES / "draw.py", tmp_path], check=True)
    drawn = {file.name: words_of(file) for file in tmp_path.iterdir()}
    assert drawn == {file.name: words_of(file) for file in PICTURES.glob("*.svg")}
    shown = {Path(link).name for page in PAGES for link in links_of(page.read_text()) if link.endswith(".svg")}
    assert drawn.keys() == shown
    assert drawn


def test_the_readme_begins_with_the_job_and_shows_what_a_stranger_looks_for() -> None:
    page = (ROOT / "README.md").read_text()
    job = page.split("\n\n")[1].split(". ")[0]
    assert {"card", "turn", "shim", "points", "readings", "targets"} <= set(re.findall(r"\w+", job))
    assert [link for link in links_of(page) if link.endswith(".svg")] == ["docs/pictures/front_left.svg"]
    assert {file.name for file in (ROOT / "notebooks").glob("*.ipynb")} == {
        Path(link).name for link in links_of(page) if link.endswith(".ipynb")
    }
    whole = page.partition("<summary>The whole card of that morning</summary>")[2].partition("</details>")[0]
    card = whole[whole.index("\nCARD  ") : whole.rindex("\n...\n")]
    steps = [int(number) for number in re.findall(r"^(\d+)  ", card, re.MULTILINE)]
    assert steps == sorted(set(steps))
    assert {0, 6, 9, 10} <= set(steps) <= set(range(11))
    assert not re.search(r"\.\.\.$", card, re.MULTILINE)  # whole: nothing is left out


def words_of(picture: Path) -> list[str]:
    """What is written in a picture: paths differ in their last digits between versions of the drawing library."""
    text = picture.read_text()
    return re.findall(r"<text[^>]*>([^<]*)</text>", text) + re.findall(r"<!-- (.*?) -->", text)


def keys_of_the_loaders() -> set[str]:
    """Keys that the loaders read, as they stand in their source."""
    src = ROOT / "cpp/src"
    loaders = [*src.glob("model/*_file.cpp"), *src.glob("workshop/files/*.cpp")]
    sources = "\n".join(file.read_text() for file in sorted(loaders))
    return set(re.findall(r'\b(?:read\w*|choice\w*|tables?|has|demand_instrument)\((?:\w+, )?"(\w+)"', sources))


def test_every_key_of_a_file_is_documented() -> None:
    keys = keys_of_the_loaders() | {info.name for info in LISTED if info.target}
    assert {"format", "drawn_with_mm", "camber_gauge_deg", "ride_height", "box_mm"} <= keys
    words = set(re.findall(r"\w+", (ROOT / "docs/formats.md").read_text()))
    assert not sorted(keys - words)


LISTED = [*_core.output_list(), *_core.car_output_list(), _core.ride_height_info(), *_core.corner_load_list()]


def test_the_tables_of_values_say_what_the_lists_say() -> None:
    page = (ROOT / "docs/conventions.md").read_text()
    rows = re.findall(r"^\| `(\w+)` \| ([\w/]*) ?\| (yes|no) \| (.+) \|$", page, re.MULTILINE)
    assert rows == [(v.name, v.unit, "yes" if v.depends_on_frame else "no", v.sign) for v in LISTED]


def test_what_can_be_wanted_stands_with_its_unit_and_common_tolerance() -> None:
    section = (ROOT / "docs/formats.md").read_text().split("## Targets")[1].split("\n## ")[0]
    rows = re.findall(r"^\| `\[(\w+)\]`.*? \| (.+) \| (\w+) \|$", section, re.MULTILINE)
    told = {(name, unit) for table, names, unit in rows for name in re.findall(r"`(\w+)`", names) or [table]}
    assert told == {(v.name, v.unit) for v in LISTED if v.target}
    tolerances = []
    for v in [*_core.output_list(), _core.ride_height_info(), *_core.car_output_list()]:
        name = v.name.replace("_", " ")
        if v.tolerance_at_flags_mm is not None:
            tolerances.append(f"{name} {v.tolerance_at_flags_mm:g} mm at the flags")
        if v.common_tolerance is not None:
            tolerances.append(f"{name} {v.common_tolerance:g} {v.unit}")
    assert ", ".join(tolerances) in " ".join(section.split())
