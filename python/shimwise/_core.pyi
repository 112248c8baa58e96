"""
The compiled part of shimwise; import shimwise instead.
"""

from __future__ import annotations
import typing

__all__: list[str] = ["InputError", "OutOfReach", "Problem"]

class Problem:
    """
    One fault of one file; parts that do not apply are empty or 0.
    """
    def __str__(self) -> str: ...
    @property
    def column(self) -> int: ...
    @property
    def field(self) -> str: ...
    @property
    def file(self) -> str: ...
    @property
    def line(self) -> int: ...
    @property
    def rule(self) -> str: ...
    @property
    def value(self) -> str: ...

class InputError(ValueError):
    """
    Bad input. The message has one sentence per problem, each on a line of its own.
    """
    @property
    def problems(self) -> list[Problem]:
        """
        Every problem of the file, in the order of its lines.
        """

class OutOfReach(RuntimeError):
    """
    What was asked cannot be reached; the message says why and by how much.
    """

__version__: str
