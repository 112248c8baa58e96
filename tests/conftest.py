"""What tests of every folder share."""

import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest


def pytest_configure() -> None:
    """A shell ignores Ctrl-C in what it starts with `&`; the commands that tests start would inherit that."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, lambda _number, _frame: None)


@pytest.fixture
def size(request: pytest.FixtureRequest) -> Callable[[int, int], int]:
    """How many cases a test draws: size(brief, full). What was taken is noted in the file that SHIMWISE_SIZES names."""

    def taken(brief: int, full: int) -> int:
        cases = full if os.environ.get("SHIMWISE_SIZE") == "full" else brief
        if file := os.environ.get("SHIMWISE_SIZES"):
            with Path(file).open("a") as sizes:
                sizes.write(f"{request.node.name}: {cases} of {full}\n")
        return cases

    return taken
