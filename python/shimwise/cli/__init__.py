"""The command line. Exit codes: 0 answered; 1 what was asked cannot be reached; 2 bad input; 130 interrupted."""

from __future__ import annotations

import sys

import click

from shimwise import _core
from shimwise.cli.check import check
from shimwise.cli.curves import curves
from shimwise.cli.done import done
from shimwise.cli.effects import effects
from shimwise.cli.plan import plan
from shimwise.cli.recipes import recipes
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


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(_core.__version__, prog_name="shimwise")
def commands() -> None:
    """From a race mechanic's readings to the best reachable turns and shims.

    The results are advice about safety-critical fasteners: the qualified person in charge decides.
    """


for command in (check, effects, curves, what_if, plan, done, recipes):
    commands.add_command(command)
