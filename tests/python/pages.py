"""Blocks of the project's pages, and the shell that their console blocks are typed into.

Nothing here needs more than Python: scripts/first-hour plays the pages on a machine that has just been set up.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

__all__ = ["CHECKED", "ROOT", "Block", "Shell", "blocks_of", "matches", "play"]

ROOT = Path(__file__).resolve().parents[2]
READ_ONLY = {"sh", "text"}
CHECKED = {"python", "console", "cmake", "cpp", "toml", "json", "csv"}
_END = "=== the command ended with"


@dataclass
class Block:
    page: Path
    line: int
    language: str
    words: list[str]
    text: str

    @property
    def place(self) -> str:
        return f"{self.page.name}:{self.line}"


def blocks_of(page: Path, text: str) -> list[Block]:
    """Fenced blocks; a fence without a language, or with one that nothing here knows, is an error."""
    blocks: list[Block] = []
    fence: re.Match[str] | None = None
    lines: list[str] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if fence is None:
            if fence := re.match(r"( *)(```+)(.*)", line):
                language, *words = fence[3].split() or [""]
                assert language in CHECKED | READ_ONLY, (
                    f"{page.name}:{number}: a block of {language or 'no language'!r}"
                )
                blocks.append(Block(page, number + 1, language, words, ""))
                lines = []
        elif line.strip() == fence[2]:
            blocks[-1].text = "\n".join(lines) + "\n"
            fence = None
        else:
            lines.append(line.removeprefix(fence[1]))
    assert fence is None, f"{page.name}: a block that does not end"
    return blocks


def matches(expected: list[str], printed: list[str]) -> bool:
    """Line by line; a line `...` is any number of lines, `...` at a line's end any rest of it."""
    if not expected:
        return not printed
    if expected[0].strip() == "...":
        return any(matches(expected[1:], printed[skip:]) for skip in range(len(printed) + 1))
    if not printed:
        return False
    begin, dots, _ = expected[0].partition("...")
    same = printed[0].startswith(begin) if dots else printed[0] == expected[0]
    return same and matches(expected[1:], printed[1:])


class Shell:
    """A bash as a reader has it open: 80 columns, no colour, and on its path what the reader has on his."""

    def __init__(self, folder: Path, *, home: Path, activated: bool) -> None:
        """Open it in a folder, with the programs of this Python's environment found or not."""
        own = str(Path(sys.executable).parent)
        found = [part for part in os.environ["PATH"].split(os.pathsep) if part != own]
        environment = {key: value for key, value in os.environ.items() if key != "VIRTUAL_ENV"} | {
            "PATH": os.pathsep.join([own, *found] if activated else found),
            "HOME": str(home), "COLUMNS": "80", "NO_COLOR": "1", "TERM": "dumb", "MPLBACKEND": "Agg",
        }  # fmt: skip
        self._bash = subprocess.Popen(
            ["/bin/bash", "--noprofile", "--norc"], cwd=folder, env=environment, text=True, encoding="utf-8",
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )  # fmt: skip

    def run(self, command: str) -> tuple[int, list[str]]:
        """Type a command; return its exit code and the lines that it printed."""
        assert self._bash.stdin is not None
        assert self._bash.stdout is not None
        self._bash.stdin.write(f"{{ {command}\n}} </dev/null\nprintf '\\n{_END} %d\\n' $?\n")
        self._bash.stdin.flush()
        lines: list[str] = []
        for line in self._bash.stdout:
            if line.startswith(_END):
                return int(line.removeprefix(_END)), _without_tail(lines)
            lines.append(line.rstrip())
        raise AssertionError(f"the shell ended in: {command}\n" + "\n".join(lines))

    def write(self, name: str, text: str) -> None:
        """Save a file as the reader would."""
        code, lines = self.run(f"cat >{name} <<'=== end of file'\n{text}=== end of file")
        assert code == 0, f"{name}: {lines}"

    def __enter__(self) -> Shell:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._bash.communicate("exit\n")


def _without_tail(lines: list[str]) -> list[str]:
    """Without the empty lines at the end."""
    while lines and not lines[-1]:
        lines.pop()
    return lines


def _calls_of(block: Block) -> list[tuple[str, list[str]]]:
    """The `$ ` lines of a console block, each with the output under it."""
    calls: list[tuple[str, list[str]]] = []
    for line in block.text.splitlines():
        if line.startswith("$ "):
            calls.append((line[2:], []))
        else:
            assert calls, f"{block.place}: output before a `$ ` line"
            calls[-1][1].append(line.rstrip())
    return calls


def play(block: Block, shell: Shell) -> list[str]:
    """Type a console block, or save a csv block; return what was typed. AssertionError where a line differs."""
    if block.language == "csv":
        assert len(block.words) == 1, f"{block.place}: a csv block has the name of its file"
        shell.write(block.words[0], block.text)
        return [f"({block.words[0]} saved)"]
    (exit_code,) = [int(word.removeprefix("exit=")) for word in block.words] or [0]
    calls = _calls_of(block)
    for call, expected in calls:
        code, printed = shell.run(call)
        said = f"{block.place}: {call}"
        assert code == exit_code, f"{said}: exit code {code}\n" + "\n".join(printed)
        wanted = _without_tail(expected)
        assert not wanted or matches(wanted, printed), f"{said} prints\n" + "\n".join(printed)
    return [call for call, _ in calls]
