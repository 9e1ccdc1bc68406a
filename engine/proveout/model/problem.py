"""Where something stands in a file, and what is wrong with it.

Every complaint about input carries the same four things: the place, what was seen, what was expected and
how to mend it.
"""

from __future__ import annotations

from msgspec import Struct


class Place(Struct, frozen=True, order=True, array_like=True, gc=False):
    """A position in a text: file name as given, line and column from 1 (0 where unknown).

    ``used_at`` is set for what a pattern gave: the place where the pattern is used.
    """

    file: str
    line: int = 0
    column: int = 0
    used_at: str = ""

    def __str__(self) -> str:
        """Return ``file:line:col``, leaving out what is unknown, and where a pattern is used."""
        here = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        return f"{self.used_at} (pattern {here})" if self.used_at else here


NOWHERE = Place("")


#: What stands in the way of using a piece of input, and what is most probably a slip and does not.
ERROR, WARNING = "error", "warning"


class Problem(Struct, frozen=True, order=True, array_like=True):
    """One complaint about one place.

    Attributes:
        place: where it was seen.
        check: the short kebab-case name of the check that speaks, such as ``unknown-id``.
        saw: what was seen, in words.
        expected: what was expected instead.
        mend: what to do about it.
        severity: ``error`` for what stands in the way of using the input, ``warning`` for what does not.
    """

    place: Place
    check: str
    saw: str
    expected: str = ""
    mend: str = ""
    severity: str = ERROR

    def __str__(self) -> str:
        """Return one line: place, what was seen, what was expected, how to mend it, the check's name."""
        parts = [self.saw]
        if self.expected:
            parts.append(f"expected {self.expected}")
        if self.mend:
            parts.append(self.mend)
        where = f"{self.place}: " if self.place.file else ""
        kind = "" if self.severity == ERROR else f"{self.severity}: "
        return f"{where}{kind}{'; '.join(parts)} [{self.check}]"


class BadInputError(Exception):
    """Input that cannot be used: one or more located problems (the command line exits with 3)."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems: tuple[Problem, ...] = problems


class DamagedRecordError(Exception):
    """A case file whose chain of digests does not hold (the command line exits with 4)."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems: tuple[Problem, ...] = problems


class WrongUsageError(Exception):
    """What was asked for does not fit together, or not this case (the command line exits with 2)."""


class EngineError(Exception):
    """A rule engine refused or failed inside: a fault of the program or of its limits, not of the input."""
