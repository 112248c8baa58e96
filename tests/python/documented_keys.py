"""The keys of car and readings files as docs/formats.md has them, and which of them it says are kept."""

from __future__ import annotations

import pathlib
import re

PAGE = pathlib.Path(__file__).resolve().parents[2] / "docs/formats.md"
CORNER = "<corner>"
Path = tuple[str | int, ...]  # of a value in a file
SECTIONS = {  # of the page, by what stands before its keys; other tables are no keys of these files
    "Top of the file": "",
    "Corner": f"{CORNER}.",
    "Adjuster": f"{CORNER}.adjuster.",
    "Instruments and settling": "",
    "Readings": "",
    "Skid": "",
    "Sweep": "",
}


def documented(page: str, file: str) -> dict[str, bool]:
    """Every key of "car", "readings", "skid" or "sweep", and whether it is kept."""
    (chapter,) = re.findall(rf"^## {file.capitalize()}$(.*?)^## ", page, flags=re.DOTALL | re.MULTILINE)
    found: dict[str, bool] = {}
    before, tables, columns = SECTIONS.get(file.capitalize(), ""), [""], ""
    text = re.sub(r"^```.*?^```$", "", chapter, flags=re.DOTALL | re.MULTILINE)
    for line in text.splitlines():
        if title := re.fullmatch(r"###? (.+)", line):
            before, tables = SECTIONS.get(title[1], "?"), [""]
        elif line.startswith("**`["):
            tables = [name.strip("[]") + "." for name in re.findall(r"`(\[+[a-z_]+\]+)`", line.partition("**,")[0])]
        elif line.startswith("| ---"):
            continue
        elif line.startswith("|"):
            cells = [cell.strip() for cell in line[1:-1].split("|")]
            if cells[0] in ("key", "table"):
                columns = cells[0]
                continue
            for table in tables:
                if columns == "table":
                    inner = [f"{span}." for span in re.findall(r"`([a-z_]+)`", cells[0])]
                    names = [inner[0] + span for span in re.findall(r"`([a-z_]+)`", cells[1])]
                else:
                    names = spans(cells[0])
                found |= {
                    before + table + name: cells[2].endswith("kept") if len(cells) > 2 else False for name in names
                }
    return {key: kept for key, kept in found.items() if not key.startswith("?")}


def spans(cell: str) -> list[str]:
    """`spring.outer`, `.outer_on` -> both in full."""
    names: list[str] = []
    for span in re.findall(r"`([^`]+)`", cell):
        names.append(names[-1].rpartition(".")[0] + span if span.startswith(".") else span)
    return names


def documented_targets(page: str) -> set[str]:
    """What can be asked for by its own name; ride heights have those of the car's points."""
    (chapter,) = re.findall(r"^## Targets$(.*?)^## ", page, flags=re.DOTALL | re.MULTILINE)
    asked = re.findall(r"^\| `\[[a-z_]+\]`[^|]*\|([^|]*)\|", chapter, flags=re.MULTILINE)
    limits = re.findall(r"^- `([a-z_]+) = ", chapter, flags=re.MULTILINE)
    return {name for cell in asked for name in re.findall(r"`([a-z_]+)`", cell)} | set(limits)
