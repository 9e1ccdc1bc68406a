"""Findings of a check as text: severity, place, the line with a mark under the value, how to mend it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from proveout.model.problem import Place, Problem
from proveout.show.figures import wrapped
from proveout.text.extent import extent

#: Most characters of a line that are shown.
SHOWN = 100


def findings_text(
    problems: Sequence[Problem], lines: Mapping[str, Sequence[str]], most: int, width: int = 80
) -> str:
    """Return all findings by place.

    Args:
        problems: by place.
        lines: of each file.
        most: findings of one check in one file that are shown; what is beyond is counted.
        width: columns.
    """
    told: list[str] = []
    seen: Counter[tuple[str, str]] = Counter()
    of_kind = Counter((problem.place.file, problem.check) for problem in problems)
    for problem in problems:
        kind = problem.place.file, problem.check
        seen[kind] += 1
        if seen[kind] <= most:
            told += finding_lines(problem, lines, width)
        if seen[kind] == most and of_kind[kind] > most:
            left = of_kind[kind] - most
            told += [f"... and {left} more [{problem.check}] in {problem.place.file}", ""]
    return "\n".join(told).rstrip("\n")


def counted(problems: Sequence[Problem]) -> str:
    """Return how many findings of each severity there are, in words."""
    counts = Counter(problem.severity for problem in problems)
    named = [f"{n} {kind}{'s' if n != 1 else ''}" for kind, n in sorted(counts.items())]
    return f"{', '.join(named) or 'No finding'}."


def finding_lines(problem: Problem, lines: Mapping[str, Sequence[str]], width: int) -> Iterator[str]:
    """Return the lines that tell one finding, an empty one at the end."""
    where = f"{problem.place}: " if problem.place.file else ""
    # On one line whatever the width: editors and terminals find places by this form.
    yield f"{where}{problem.severity}: {' '.join(problem.saw.split())} [{problem.check}]"
    yield from _marked(problem.place, lines)
    if problem.expected:
        yield from wrapped(problem.expected, width, "  expected: ", "            ")
    if problem.mend:
        yield from wrapped(problem.mend, width, "  mend:     ", "            ")
    yield ""


def _marked(place: Place, lines: Mapping[str, Sequence[str]]) -> Iterator[str]:
    """Return the line of a place and carets under what stands there, cut to what can be shown."""
    text = lines.get(place.file, ())
    if not 0 < place.line <= len(text):
        return
    line = text[place.line - 1].replace("\t", " ")
    start, length = max(place.column - 1, 0), extent(line, place.column)
    cut = max(0, min(start - SHOWN // 2, len(line) - SHOWN))
    shown = line[cut : cut + SHOWN]
    margin = f"  {place.line} | "
    yield f"{margin}{shown}"
    yield (
        " " * (len(margin) - 2) + "| " + " " * (start - cut) + "^" * max(1, min(length, SHOWN - start + cut))
    )
