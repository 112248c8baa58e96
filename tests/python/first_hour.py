"""Types a page's console blocks in one shell, as a reader would: `python first_hour.py PAGE`. Needs only Python.

README.md is typed in the project's folder, with no `shimwise` on the path: it says itself how to come by it. Any other
page in an empty folder, with what README made known.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from pages import ROOT, Shell, blocks_of, play

__all__ = ["main"]


def main(page: Path) -> int:
    """Print what is typed; return 1 where something differs from the page, and say where."""
    stranger = page.resolve() == ROOT / "README.md"
    with TemporaryDirectory(prefix="shimwise-reader-") as home:
        where = ROOT if stranger else Path(home)
        with Shell(where, home=Path(home), activated=not stranger) as shell:
            for block in blocks_of(page, page.read_text(encoding="utf-8")):
                if block.language not in ("console", "csv"):
                    continue
                try:
                    typed = play(block, shell)
                except AssertionError as differs:
                    print(differs, file=sys.stderr)
                    return 1
                print(*(f"   $ {call}" for call in typed), sep="\n", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
