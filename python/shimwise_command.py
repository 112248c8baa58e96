"""What the program `shimwise` runs: first of all, Ctrl-C ends it at once, exit 130, without a traceback.

It stands beside the package, since importing anything of that loads all of it. The package itself installs no handler:
in a script or a notebook Ctrl-C stays a KeyboardInterrupt. A file gets its name when it is whole, so that any moment is
safe to end in.
"""

import os
import signal
import sys
from pathlib import Path

__all__ = ["main"]

INTERRUPTED = 130
SLOW_S = 2


def main() -> None:
    """Run the command line."""
    heeded = signal.getsignal(signal.SIGINT) is not signal.SIG_IGN  # a script that starts it with & has it ignored
    if heeded:
        signal.signal(signal.SIGINT, _stop)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})  # the launcher held one back
    from shimwise import _core, cli

    if heeded:
        _core.stop_at_interrupt(INTERRUPTED)  # Python's handler waits for compiled code to return
    if os.isatty(2):
        _core.say_when_slow(_doing(sys.argv[1:]), SLOW_S)
    cli.main()


def _doing(words: list[str]) -> str:
    """What a person at a terminal reads while it takes its time."""
    pipes = [word for word in words if _is_pipe(word)]
    at = f"waiting for {' and '.join(pipes)}" if pipes else f"working on {' '.join(words)}"
    return f"shimwise: {at}; Ctrl-C stops it\n".encode("utf-8", "replace").decode()  # a name may be none


def _is_pipe(word: str) -> bool:
    try:
        return Path(word).is_fifo()
    except OSError:  # too long for a name
        return False


def _stop(_signal_number: int, _frame: object) -> None:
    os._exit(INTERRUPTED)
