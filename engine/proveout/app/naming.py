"""Ids from what was typed: titles, words, former ids and beginnings serve as well, for every kind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from proveout.intake.resolve import Named, called, choose, titled
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem, WrongUsageError
from proveout.readiness.inspection import known_programmes
from proveout.readiness.warranty import known_terms
from proveout.text.near import did_you_mean, one_of


def id_of(kind: str, given: str, terms: Mapping[str, Named]) -> str:
    """Return the id of the entry that is meant.

    Raises:
        BadInputError: none is, or several may be; the nearest are named with their titles.
    """
    found = choose(given, terms)
    if found.id:
        return found.id
    raise _unknown(kind, given, [(key, terms[key].title) for key in found.near[:3]])


def _unknown(kind: str, given: str, near: Iterable[tuple[str, str]]) -> BadInputError:
    meant = " or ".join(f"{key} ({title})" for key, title in near)
    mend = f"did you mean {meant}?" if meant else "list them with: proveout rules list"
    expected = f"an id, a title or a word of the book for: {kind}"
    return BadInputError(Problem(NOWHERE, "unknown-id", f"{kind} {given!r}", expected, mend))


def word_of(kind: str, given: str, known: Mapping[str, Named]) -> str:
    """Return the one of a few known words that is meant.

    Raises:
        BadInputError: none is, or several may be; all are named.
    """
    found = choose(given, known).id
    if not found:
        raise BadInputError(Problem(NOWHERE, "unknown-word", f"{kind} {given!r}", one_of(known, most=20)))
    return found


def inspection_of(given: str, book: Book) -> str:
    """Return the id of the inspection that is meant; raises as ``id_of``."""
    return id_of("inspection", book.former.get(f"inspection {given}", given), book.inspections)


def symptom_of(given: str, book: Book) -> str:
    """Return the id of the symptom that is meant; raises as ``id_of``."""
    return id_of("symptom", book.former.get(f"symptom {given}", given), book.words.symptoms)


def cause_of(given: str, book: Book) -> str:
    """Return the id of the cause that is meant; raises as ``id_of``."""
    return id_of("cause", given, book.causes)


def monitor_of(given: str, book: Book) -> str:
    """Return the readiness monitor of the book's codes that is meant; raises as ``word_of``."""
    known = {entry.monitor for entry in book.words.codes.values() if entry.monitor}
    return word_of("monitor", given, titled(sorted(known)))


def entry_of(given: str, book: Book) -> str:
    """Return the id of the entry that is meant, of any kind: rule, code, cause, inspection and so on.

    Raises:
        BadInputError: none is, or several may be.
    """
    upper = given.strip().upper()
    if given in book.rules or upper in book.words.codes:
        return given if given in book.rules else upper
    kinds = _kinds(book)
    if any(given in terms for terms in kinds):
        return given
    for kind in ("inspection", "symptom"):
        if today := book.former.get(f"{kind} {given}"):
            return today
    by_name = {key: terms[key].title for terms in kinds for key in called(given, terms)}
    if len(by_name) == 1:
        return next(iter(by_name))
    if by_name:
        raise _unknown("entry", given, list(by_name.items())[:3])
    found = [(choose(given, terms), terms) for terms in kinds]
    meant = {choice.id for choice, _ in found if choice.id}
    if len(meant) == 1:
        return meant.pop()
    near = [(key, terms[key].title) for choice, terms in found for key in (choice.id, *choice.near) if key]
    raise _unknown("entry", given, near[:3])


def _kinds(book: Book) -> tuple[Mapping[str, Named], ...]:
    words = book.words
    return (
        book.causes,
        book.inspections,
        words.symptoms,
        words.circumstances,
        words.recent_work,
        words.components,
        words.tools,
        words.findings,
        words.access,
        words.cautions,
        words.glossary,
        {term.id: term for term in known_terms(book)},
        known_programmes(book),
        titled(figures.id for figures in book.own_figures),
    )


def refuse_unknown(given: Iterable[str], known: Iterable[str], what: str) -> None:
    """Refuse what is not among the known words, with the nearest one that is.

    Raises:
        WrongUsageError: a word is not known.
    """
    words = set(known)
    for word in given:
        if word not in words:
            hint = did_you_mean(word, words).replace("did", "Did", 1)
            raise WrongUsageError(f"{word} is no {what}. {hint}".rstrip())
