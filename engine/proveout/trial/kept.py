"""Finished cases of a simulation as JSON lines, so that one that was stopped goes on where it stood.

The first line says what was drawn, from which book, by which version; each further line is one case with its
number. How many cases are wanted is not said: a longer run goes on from a shorter one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, TypeVar

from msgspec import Meta, MsgspecError, Struct, json
from msgspec.structs import asdict

from proveout import __version__
from proveout.model.problem import BadInputError, Place, Problem
from proveout.trial.played import Played
from proveout.trial.simulate import Drawing

SCHEMA = "proveout/simulation/2"
Line = TypeVar("Line")


class _Case(Struct, frozen=True, forbid_unknown_fields=True):
    """A line after the first."""

    number: Annotated[int, Meta(ge=0)]
    case: Played


def heading(drawn: Drawing, digest: str) -> dict[str, Any]:
    """Return the first line: all that settles what each number stands for.

    Args:
        drawn: what is drawn.
        digest: of the book.
    """
    return {
        "schema": SCHEMA,
        "version": __version__,
        "book": digest,
        "seed": drawn.seed,
        "disturbance": drawn.disturbance,
        "codes": sorted(code for code, _ in drawn.share),
        "tools": sorted(drawn.tools),
        "costs": {**asdict(drawn.costs), "parts": dict(drawn.costs.parts)},
    }


def line(number: int, played: Played) -> str:
    """Return the line of one case, its line break included."""
    return json.encode(_Case(number, played)).decode() + "\n"


def finished(lines: Iterable[str], wanted: Mapping[str, Any], file: str) -> dict[int, Played]:
    """Return the cases that a file holds, by number.

    Args:
        lines: of the file, each whole.
        wanted: the heading of the run that is to go on.
        file: its name, for places.

    Raises:
        BadInputError: it belongs to another run, or a line is none of a simulation.
    """
    first, *rest = enumerate(lines, start=1)
    _compare(_read(first[1], Place(file, 1, 1), dict[str, Any]), wanted, Place(file, 1, 1))
    cases = [_read(text, Place(file, row, 1), _Case) for row, text in rest]
    return {one.number: one.case for one in cases}


def _read(text: str, place: Place, kind: type[Line]) -> Line:
    try:
        return json.decode(text, type=kind)
    except (MsgspecError, UnicodeError) as error:
        raise _bad(place, f"no line of a simulation: {error}") from None


def _compare(document: Mapping[str, Any], wanted: Mapping[str, Any], place: Place) -> None:
    """Refuse the heading of another run, naming the first thing in which the two differ."""
    if document.get("schema") != SCHEMA:
        raise _bad(place, "not the kept cases of a simulation")
    for key, value in wanted.items():
        if document.get(key) != value:
            saw = f"cases of another {key}: {_short(document.get(key))}"
            mend = "name another file, or repeat the options of the run that it belongs to"
            raise BadInputError(Problem(place, "other-simulation", saw, _short(value), mend))


def _short(value: object) -> str:
    text = json.encode(value).decode()
    return text if len(text) <= 70 else text[:67] + "..."


def _bad(place: Place, saw: str) -> BadInputError:
    return BadInputError(
        Problem(place, "kept-cases", saw, "what `proveout rules simulate` wrote", "name another file")
    )
