"""How the way back to a baseline looks: text at 80 columns, in working order, with the values to read then."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.baselines.restored import Restored
from shimwise.shown import view
from shimwise.views.baseline import of_baseline, state_words, values_table
from shimwise.views.pieces import bullet, caution_lines
from shimwise.words import printable, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType

__all__ = ["restored_view"]


@view.register(Restored)
def restored_view(restored: Restored) -> RenderableType:
    """What to turn and shim, what cannot be made, the values to read then, the cautions."""
    core, baseline = restored.core, restored.baseline
    title = f"{printable(baseline.core.car)} back to {of_baseline(baseline)}: {printable(baseline.reason)}"
    parts: list[RenderableType] = [Text(title, style="bold")]
    if core.lines:
        parts.append(Text(f"From how it is set now, {core.minutes:.0f} minutes:"))
    elif restored.whole:
        parts.append(Text("It is set so already: nothing is turned and nothing is shimmed."))
    parts += [bullet("[ ]", f"{spoken(line.key)}: {line.words}") for line in core.lines]
    if core.not_made:
        parts += [Text(), Text("What cannot be made", style="bold")]
        parts += [bullet("!", f"{_spoken_first(words)}.") for words in core.not_made]
    parts += [
        Text(),
        Text(state_words(baseline.core)),
        values_table(baseline),
        Text("Tolerances: common practice, no source."),
    ]
    if restored.notes:
        parts += [Text(), Text("Notes", style="bold"), *(bullet("-", printable(note)) for note in restored.notes)]
    return Group(*parts, Text(), *caution_lines(_core.cautions()))


def _spoken_first(words: str) -> str:
    """A sentence that begins with an adjuster's key."""
    key, _, rest = words.partition(": ")
    return f"{spoken(key)}: {rest}"
