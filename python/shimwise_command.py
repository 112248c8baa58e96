"""What the program `shimwise` runs: first of all, Ctrl-C ends it at once, exit 130, without a traceback.

It stands beside the package, since importing anything of that loads all of it. The package itself installs no handler:
in a script or a notebook Ctrl-C stays a KeyboardInterrupt. A file gets its name when it is whole, so that any moment is
safe to end in.
"""

import os
import signal

__all__ = ["main"]

INTERRUPTED = 130


def main() -> None:
    """Run the command line."""
    heeded = signal.getsignal(signal.SIGINT) is not signal.SIG_IGN  # a script that starts it with & has it ignored
    if heeded:
        signal.signal(signal.SIGINT, _stop)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})  # the launcher held one back
    from shimwise import _core, cli

    if heeded:
        _core.stop_at_interrupt(INTERRUPTED)  # Python's handler waits for compiled code to return
    cli.main()


def _stop(_signal_number: int, _frame: object) -> None:
    os._exit(INTERRUPTED)
