"""What each fact of a book says by itself: small cases made from its rules and limits.

A case asks what many facts come to together, and one figure among dozens can be wrong without a change of its
answer. Here each rule is asked with nothing but its own conditions, each conclusion also with one condition
missing, and each limit with a reading on either side of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from proveout.model.atom import (
    CODE,
    FACT,
    FINDING,
    HAPPENS,
    REPLACED,
    RESULT,
    STATUS,
    SYMPTOM,
    WORK,
    Atom,
)
from proveout.model.book import Book, Predicate
from proveout.model.rule import Rule
from proveout.model.specs import ReadingSpec

#: Kinds of atom to the list of an intake document that they stand in.
_LISTS = {SYMPTOM: "symptoms", HAPPENS: "happens_when", WORK: "recent_work", REPLACED: "replaced"}
#: Names of facts to the group and key of an intake document.
_FACTS = {
    "vehicle.age": ("vehicle", "age_years"),
    "vehicle.mileage": ("vehicle", "mileage_km"),
    "vehicle.engine": ("vehicle", "engine"),
    "vehicle.fuel": ("vehicle", "fuel"),
    "vehicle.climate": ("vehicle", "climate"),
    "frame.coolant": ("freeze_frame", "coolant_c"),
    "frame.speed": ("freeze_frame", "speed_kmh"),
    "frame.rpm": ("freeze_frame", "rpm"),
    "frame.load": ("freeze_frame", "load_pct"),
    "frame.fuel_level": ("freeze_frame", "fuel_level_pct"),
    "frame.short_trim": ("freeze_frame", "short_trim_pct"),
    "frame.long_trim": ("freeze_frame", "long_trim_pct"),
    "frame.intake_air": ("freeze_frame", "intake_air_c"),
}
#: How far beside a limit a reading is asked for, as a share of the limit: beyond what a common meter errs.
_BESIDE = 0.1


class SingleFact(Struct, frozen=True):
    """A small case that holds what one rule or limit asks for, and nothing else.

    Attributes:
        name: such as ``code:P0442 alone``.
        document: the intake document.
        about: what it is about: rules and inspections whose change can change its answer.
    """

    name: str
    document: Mapping[str, Any]
    about: frozenset[str]


def single_facts(book: Book) -> list[SingleFact]:
    """Return the small cases of a book, those of rules first; each document once, under its first name."""
    found: dict[str, SingleFact] = {}
    for fact in (*_of_rules(book), *_of_limits(book)):
        told = repr(sorted(fact.document.items()))
        same = found.get(told)
        found[told] = replace(same, about=same.about | fact.about) if same else fact
    return list(found.values())


def _of_rules(book: Book) -> Iterator[SingleFact]:
    raised = _raised_by(book)
    predicates = {predicate.atom: predicate for predicate in book.predicates}
    for rule in book.rules.values():
        for name, atoms in _ways(rule):
            spread = _spread(atoms, raised)
            about = {rule.id, *(one.id for finding in spread.findings for one in raised.get(finding, ()))}
            about.update(book.weighing.get(rule.observable, ()) if rule.observable else ())
            about |= {f"inspection {atom.key}" for atom in spread.plain if atom.kind == RESULT}
            yield SingleFact(name, _document(spread.plain, predicates), frozenset(about))


def _ways(rule: Rule) -> Iterator[tuple[str, tuple[Atom, ...]]]:
    """Return the sets of facts by which a rule is asked, by name."""
    when = rule.when
    for number, one in enumerate(when.any_of or (None,)):
        chosen = (one,) if one else ()
        yield f"{rule.id} alone" + (f", way {number + 1}" if number else ""), (*when.all_of, *chosen)
    if rule.concludes is None:
        return
    first = when.any_of[:1]
    for atom in when.all_of:
        rest = tuple(one for one in when.all_of if one != atom)
        yield f"{rule.id} without {atom}", (*rest, *first)
    if when.any_of:
        yield f"{rule.id} without any of its alternatives", when.all_of
    for atom in when.none_of:
        yield f"{rule.id} with {atom}", (*when.all_of, *first, atom)


class _Spread(Struct):
    """Facts without findings, and the findings that they stand for."""

    plain: list[Atom]
    findings: set[str]


def _raised_by(book: Book) -> dict[str, list[Rule]]:
    """Return the rules that conclude each finding."""
    found: dict[str, list[Rule]] = {}
    for rule in book.rules.values():
        if rule.concludes:
            found.setdefault(rule.concludes, []).append(rule)
    return found


def _spread(atoms: Iterable[Atom], raised: Mapping[str, list[Rule]]) -> _Spread:
    """Put in the place of each finding what the first rule that concludes it asks for."""
    found = _Spread([], set())
    waiting = list(atoms)
    while waiting:
        atom = waiting.pop(0)
        if atom.kind != FINDING:
            found.plain.append(atom)
        elif atom.key not in found.findings:
            found.findings.add(atom.key)
            for rule in raised.get(atom.key, ())[:1]:
                waiting += [*rule.when.all_of, *rule.when.any_of[:1]]
    return found


def _document(atoms: Iterable[Atom], predicates: Mapping[Atom, Predicate]) -> dict[str, Any]:
    """Return the intake document that states some facts."""
    found: dict[str, Any] = {}
    codes: dict[str, str] = {}
    for atom in atoms:
        if atom.kind in _LISTS:
            found.setdefault(_LISTS[atom.kind], []).append(atom.key)
        elif atom.kind in (CODE, STATUS):
            codes[atom.key] = atom.value if atom.kind == STATUS else codes.get(atom.key, "confirmed")
        elif atom.kind == RESULT:
            found.setdefault("results", {})[atom.key] = atom.value
        elif atom.kind == FACT and atom in predicates:
            group, key = _FACTS[predicates[atom].fact]
            found.setdefault(group, {})[key] = _holding(predicates[atom])
    if codes:
        found["codes"] = [{"code": code, "status": status} for code, status in codes.items()]
    return found


def _holding(predicate: Predicate) -> float | str:
    """Return a value of which a predicate holds, as near its threshold as may be."""
    if predicate.number is None:
        return predicate.text
    return predicate.number if predicate.op == "at_least" else predicate.number - 0.5


def _of_limits(book: Book) -> Iterator[SingleFact]:
    for inspection in book.inspections.values():
        reading = inspection.reading
        for value in _beside_limits(reading) if reading else ():
            typed = f"{value:.6g} {reading.unit}" if reading else ""
            document = {"readings": [{"inspection": inspection.id, "value": typed}]}
            about = frozenset((f"inspection {inspection.id}",))
            yield SingleFact(f"{inspection.id} at {typed}", document, about)


def _beside_limits(reading: ReadingSpec) -> Iterator[float]:
    """Return a value on either side of each limit, where a meter can show it, lowest first."""
    low, high = reading.possible
    ends = {end for band in reading.bands for end in (band.low, band.high) if end is not None}
    values = {end + side * (abs(end) * _BESIDE or _BESIDE) for end in ends for side in (-1, 1)}
    for value in sorted(values):
        if (low is None or value >= low) and (high is None or value <= high):
            yield value
