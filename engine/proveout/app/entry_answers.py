"""What is answered for a new entry: each answer held against the book when it is given."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from proveout.app.naming import cause_of, id_of, inspection_of, symptom_of
from proveout.book.codes import parse_code
from proveout.intake.answers import meant
from proveout.measure.own import read_limits
from proveout.model.book import Book
from proveout.model.problem import WrongUsageError
from proveout.model.rule import FREQUENCY_WORDS
from proveout.text.near import did_you_mean, one_of

#: What can be weighed, as it is typed.
OBSERVED = re.compile(r"(?P<kind>code|symptom|happens):(?P<key>.+)|(?P<inspection>[^=]+)=(?P<result>[^=]+)")
_CODE = re.compile(r"\s*[PBCUpbcu][0-9A-Fa-f]{4}\s*")
_Earlier = Mapping[str, str]


def settled(key: str, said: str, book: Book, earlier: _Earlier) -> str:
    """Return an answer as it is put into the entry: names of the book as ids, all else as it was said.

    Args:
        key: what it answers, such as ``cause``.
        said: the answer.
        book: with the layers below.
        earlier: what was answered before, settled.

    Raises:
        BadInputError, WrongUsageError: it names nothing of the book, or is no answer to that.
    """
    said = said.strip()
    if not said:
        raise WrongUsageError(f"--{key} is empty.")
    return _SETTLED[key](said, book, earlier) if key in _SETTLED else said


def _observe(said: str, book: Book, _earlier: _Earlier) -> str:
    if _CODE.fullmatch(said):
        return f"code:{parse_code(said).code}"
    found = OBSERVED.fullmatch(said)
    if found is None:
        raise WrongUsageError(
            f"--observe {said!r}: expected code:P0442, symptom:ID, happens:ID or INSPECTION=RESULT."
        )
    key = (found["key"] or "").strip()
    if found["kind"] == "code":
        return f"code:{parse_code(key).code}"
    if found["kind"] == "symptom":
        return f"symptom:{symptom_of(key, book)}"
    if found["kind"] == "happens":
        return f"happens:{id_of('circumstance', key, book.words.circumstances)}"
    inspection = inspection_of(found["inspection"].strip(), book)
    return f"{inspection}={_result(found['result'], book, {'inspection': inspection})}"


def _result(said: str, book: Book, earlier: _Earlier) -> str:
    inspection = book.inspections[earlier["inspection"]]
    result = " ".join(meant(said.split(), inspection))
    known = [one.id for one in inspection.results]
    if result not in known:
        raise WrongUsageError(f"{inspection.id} has no result {said!r}: expected {one_of(known)}.")
    return result


def _measured(said: str, book: Book, _earlier: _Earlier) -> str:
    found = inspection_of(said, book)
    reading = book.inspections[found].reading
    if reading is None or not reading.bands:
        raise WrongUsageError(f"{found} has no limits: it is not judged by a single reading.")
    return found


def _limits(said: str, book: Book, earlier: _Earlier) -> str:
    reading = book.inspections[earlier["inspection"]].reading
    assert reading is not None  # _measured asks for one
    read_limits(said, reading.quantity, reading.unit, reading.relative_to)
    return said


def _row(said: str, book: Book, _earlier: _Earlier) -> str:
    rule = book.rules.get(said)
    if rule is None or rule.observes is None:
        near = did_you_mean(said, [name for name in book.rules if OBSERVED.fullmatch(name)])
        raise WrongUsageError(
            f"There is no row {said!r}. {near or 'List them with: proveout rules list rules'}"
        )
    return said


def _frequency(said: str, _book: Book, _earlier: _Earlier) -> str:
    if said not in FREQUENCY_WORDS and not 0 < _number(said) < 1:
        scale = ", ".join(FREQUENCY_WORDS)
        raise WrongUsageError(f"{said!r} is no frequency: expected a number between 0 and 1, or {scale}.")
    return said


def _rate(said: str, _book: Book, _earlier: _Earlier) -> str:
    if not 0 < _number(said) < 1000:
        raise WrongUsageError(f"{said!r} is no base rate: expected a number of jobs in 1000, such as 0.5.")
    return said


def _number(said: str) -> float:
    """Return a number as it is written, or NaN, which compares as false."""
    return float(said) if re.fullmatch(r"[0-9]*\.?[0-9]+", said) else float("nan")


_SETTLED: Mapping[str, Callable[[str, Book, _Earlier], str]] = {
    "observe": _observe,
    "cause": lambda said, book, _: cause_of(said, book),
    "frequency": _frequency,
    "otherwise": _frequency,
    "row": _row,
    "rate": _rate,
    "inspection": _measured,
    "result": _result,
    "limits": _limits,
    "code": lambda said, _book, _: parse_code(said).code,
}
