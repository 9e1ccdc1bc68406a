"""Finished cases of a simulation as JSON lines, so that one that was stopped goes on where it stood.

The first line says what was drawn, from which book, by which version; each further line is one case with its
number. How many cases are wanted is not said: a longer run goes on from a shorter one.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, fields
from typing import Any

from proveout import __version__
from proveout.model.problem import BadInputError, Place, Problem
from proveout.trial.played import Played
from proveout.trial.simulate import Drawing

SCHEMA = "proveout/simulation/1"
_TYPES: Mapping[str, type | tuple[type, ...]] = {
    "str": str,
    "int": int,
    "float": (float, int),
    "tuple[str, ...]": list,
}


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
        "costs": asdict(drawn.costs),
    }


def line(number: int, played: Played) -> str:
    """Return the line of one case, its line break included."""
    return json.dumps({"number": number, **asdict(played)}, ensure_ascii=False) + "\n"


def finished(lines: Iterable[str], wanted: Mapping[str, Any], file: str) -> dict[int, Played]:
    """Return the cases that a file holds, by number.

    Args:
        lines: of the file, each whole.
        wanted: the heading of the run that is to go on.
        file: its name, for places.

    Raises:
        BadInputError: it belongs to another run, or a line is none of a simulation.
    """
    found: dict[int, Played] = {}
    for row, text in enumerate(lines, start=1):
        document = _document(text, Place(file, row, 1))
        if row == 1:
            _compare(document, wanted, Place(file, row, 1))
        else:
            number, played = _case(document, Place(file, row, 1))
            found[number] = played
    return found


def _document(text: str, place: Place) -> Mapping[str, Any]:
    try:
        document = json.loads(text)
    except ValueError as error:
        raise _bad(place, f"not JSON: {error}") from None
    if not isinstance(document, dict):
        raise _bad(place, "no JSON object")
    return document


def _compare(document: Mapping[str, Any], wanted: Mapping[str, Any], place: Place) -> None:
    """Refuse the heading of another run, naming the first thing in which the two differ."""
    if document.get("schema") != SCHEMA:
        raise _bad(place, "not the kept cases of a simulation")
    for key, value in wanted.items():
        if document.get(key) != value:
            saw = f"cases of another {key}: {_short(document.get(key))}"
            mend = "name another file, or repeat the options of the run that it belongs to"
            raise BadInputError(Problem(place, "other-simulation", saw, _short(value), mend))


def _case(document: Mapping[str, Any], place: Place) -> tuple[int, Played]:
    wanted = {field.name: _TYPES[str(field.type)] for field in fields(Played)}
    given = {key: value for key, value in document.items() if key != "number"}
    number = document.get("number")
    if not isinstance(number, int) or number < 0 or given.keys() != wanted.keys():
        raise _bad(place, "not a case of a simulation")
    for key, kind in wanted.items():
        if not isinstance(given[key], kind):
            raise _bad(place, f"not a case of a simulation: its {key!r} is {_short(given[key])}")
    return number, Played(**{**given, "truth": tuple(given["truth"])})


def _short(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 70 else text[:67] + "..."


def _bad(place: Place, saw: str) -> BadInputError:
    return BadInputError(
        Problem(place, "kept-cases", saw, "what `proveout rules simulate` wrote", "name another file")
    )
