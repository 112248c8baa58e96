"""The command line. Exit codes: 0 answered; 1 what was asked cannot be reached; 2 bad input; 130 interrupted."""

from __future__ import annotations

import io
import os
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shimwise import _core
from shimwise.cli.accept import accept
from shimwise.cli.card import card
from shimwise.cli.check import check
from shimwise.cli.compare import compare
from shimwise.cli.curves import curves
from shimwise.cli.done import done
from shimwise.cli.effects import effects
from shimwise.cli.forces import forces
from shimwise.cli.history import history
from shimwise.cli.level import level
from shimwise.cli.new import new
from shimwise.cli.plan import plan
from shimwise.cli.read import read
from shimwise.cli.recipes import recipes
from shimwise.cli.rest import rest
from shimwise.cli.restore import restore
from shimwise.cli.setup import setup
from shimwise.cli.sheet import sheet
from shimwise.cli.skid import skid
from shimwise.cli.sweep import sweep
from shimwise.cli.what_if import what_if
from shimwise.shown import visible

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["main"]


def main() -> None:
    """Run the command line with its exit codes."""
    code: int | None
    _take_any_letter()
    try:
        _demand_utf8(sys.argv[1:])
        code = commands.main(prog_name="shimwise", standalone_mode=False)
        sys.stdout.flush()
    except click.ClickException as error:
        error.show()
        code = 2
    except _core.InputError as error:
        click.echo(visible(str(error)), err=True)
        code = 2
    except _core.OutOfReach as error:
        click.echo(visible(f"cannot be reached: {error}"), err=True)
        code = 1
    except SystemExit as ending:
        code = int(ending.code or 0)
    except BrokenPipeError:
        code = 0  # who read this has seen enough
    except OSError as error:
        click.echo(f"{error.filename or 'what is printed'}: {error.strerror}", err=True)
        code = 2
    except (KeyboardInterrupt, click.Abort):
        code = 130
    sys.exit(_closed(code or 0))


def _take_any_letter() -> None:
    """What is printed goes somewhere, and a letter that its encoding has not is printed by its number."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by who called
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _demand_utf8(words: list[str]) -> None:
    for word in words:
        try:
            word.encode()
        except UnicodeEncodeError:
            raise _core.InputError(f"{word!a}: is not UTF-8 text: give the file another name") from None


def _closed(code: int) -> int:
    """The code, with nothing left to print when Python ends: who read this may be gone by now."""
    try:
        sys.stdout.flush()
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0 if isinstance(error, BrokenPipeError) else code or 2
    return code


class _Commands(click.Group):
    """Ends well where who reads the output leaves before its end, which Click takes for a failure."""

    def make_context(self, *args: Any, **how: Any) -> click.Context:
        """As Click's: prints the help."""
        with _reader_may_leave():
            return super().make_context(*args, **how)

    def invoke(self, context: click.Context) -> Any:
        """As Click's: runs the command."""
        with _reader_may_leave():
            return super().invoke(context)


@contextmanager
def _reader_may_leave() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise click.exceptions.Exit(0) from None


@click.group(cls=_Commands, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(_core.__version__, prog_name="shimwise")
@click.pass_context
def commands(context: click.Context) -> None:
    """From a race mechanic's readings to the best reachable turns and shims.

    The results are advice about safety-critical fasteners: the qualified person in charge decides.
    """
    if context.invoked_subcommand is None:
        click.echo(_FIRST_FOUR, nl=False)


_FIRST_FOUR = """\
From a race mechanic's readings to the best reachable turns and shims.
The first four commands, for a car of your own:

  1  shimwise new mycar --points points.csv
       A folder with a commented car file, readings and targets. The points
       come from your table, the rest is invented for you to replace. Without
       a table leave --points away; shimwise new --help says what is in one.
  2  shimwise check mycar/car.toml
       What cannot be in the car file, and what one step of every adjuster
       does: a wrong sign shows here, before anything is turned.
  3  shimwise sheet mycar/car.toml
       An empty sheet for the clipboard, with what this car's readings take.
       Type them into mycar/readings.toml.
  4  shimwise plan mycar/car.toml mycar/readings.toml mycar/targets.toml
       What to turn and what to shim, in working order.

shimwise --help lists all commands, shimwise plan --help explains one.
"""


_ALL = (new, check, sheet, level, read, effects, rest, curves, forces, what_if, plan, card, done, recipes, sweep)
_OVER_WEEKS = (compare, accept, history, setup, restore, skid)
for command in (*_ALL, *_OVER_WEEKS):
    commands.add_command(command)
