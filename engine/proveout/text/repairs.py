"""Repairs of a rule file's text that need no judgement: each at its place, nothing else touched."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from proveout.model.problem import Problem
from proveout.text.extent import extent

#: A repair: the line, the column from 1, the finding; gives the new line, None to drop it, or it unchanged.
Repair = Callable[[str, int, Problem], str | None]


def repaired(text: str, problems: list[Problem]) -> tuple[str, list[Problem]]:
    """Return a text with what can be repaired in it, and the findings that this answers.

    Args:
        text: of one file.
        problems: findings in it.
    """
    lines = text.splitlines(keepends=True)
    done = []
    for problem in sorted(problems, reverse=True):  # from the end, so that places before it stay right
        at = problem.place.line - 1
        repair = REPAIRS.get(problem.check)
        if repair is None or not 0 <= at < len(lines) or problem.place.used_at:
            continue
        line = lines[at].rstrip("\r\n")
        new = repair(line, problem.place.column, problem)
        if new != line:
            lines[at] = "" if new is None else new + lines[at][len(line) :]
            done.append(problem)
    return "".join(lines), sorted(done)


def _key(line: str, column: int, problem: Problem) -> str | None:
    """Spell a key as the only one that it is near to."""
    near = re.fullmatch(r"did you mean '([a-z_-]+)'\?", problem.mend)
    return _put(line, column, near[1]) if near else line


def _capitals(line: str, column: int, _problem: Problem) -> str | None:
    """Write a trouble code in capitals."""
    code = line[column - 1 : column - 1 + extent(line, column)].upper()
    return _put(line, column, code) if re.fullmatch("[PBCU][0-3][0-9A-F]{3}", code) else line


def _order(line: str, column: int, _problem: Problem) -> str | None:
    """Turn a range round."""
    text = line[column - 1 : column - 1 + extent(line, column)]
    ends = re.fullmatch(r"(-?[0-9.]*[0-9])\.\.(-?[0-9.]*[0-9])", text)
    return _put(line, column, f"{ends[2]}..{ends[1]}") if ends else line


def _drop(line: str, column: int, _problem: Problem) -> str | None:
    """Take an item out of its list, with the comma that parts it from the others."""
    before, after = line[: column - 1], line[column - 1 + extent(line, column) :]
    if before.rstrip().endswith("-") and not before.replace("-", "").strip() and not after.strip():
        return None
    if after.lstrip().startswith(","):
        return before + after.lstrip()[1:].lstrip()
    if before.rstrip().endswith(","):
        return before.rstrip()[:-1] + after
    return line


def _put(line: str, column: int, new: str) -> str:
    """Put a word in the place of the one that begins at a column."""
    return line[: column - 1] + new + line[column - 1 + extent(line, column) :]


#: By the check's name. An unknown id is not among them: what it is near to may be another part.
REPAIRS: Mapping[str, Repair] = {
    "schema-key": _key,
    "schema-form": _capitals,
    "code-form": _capitals,
    "range-order": _order,
    "said-twice": _drop,
}
