"""The command line. Exit codes: 0 answered; 1 what was asked cannot be reached; 2 bad input; 130 interrupted."""

from __future__ import annotations

import sys

import click

from shimwise import _core
from shimwise.cli.check import check
from shimwise.cli.curves import curves
from shimwise.cli.done import done
from shimwise.cli.effects import effects
from shimwise.cli.forces import forces
from shimwise.cli.new import new
from shimwise.cli.plan import plan
from shimwise.cli.recipes import recipes
from shimwise.cli.rest import rest
from shimwise.cli.sheet import sheet
from shimwise.cli.what_if import what_if

__all__ = ["main"]


def main() -> None:
    """Run the command line with its exit codes."""
    code: int | None
    try:
        code = commands.main(prog_name="shimwise", standalone_mode=False)
    except click.ClickException as error:
        error.show()
        code = 2
    except _core.InputError as error:
        click.echo(error, err=True)
        code = 2
    except _core.OutOfReach as error:
        click.echo(f"cannot be reached: {error}", err=True)
        code = 1
    except BrokenPipeError:
        code = 0  # who read this has seen enough
    except OSError as error:
        click.echo(f"{error.filename}: {error.strerror}", err=True)
        code = 2
    except (KeyboardInterrupt, click.Abort):
        code = 130
    sys.exit(code or 0)


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
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


for command in (new, check, sheet, effects, rest, curves, forces, what_if, plan, done, recipes):
    commands.add_command(command)
