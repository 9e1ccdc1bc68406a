"""The questions of an intake, and what is made of their answers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from functools import partial
from typing import Any

from proveout.app.facts import age_from, code_from, vocabularies
from proveout.intake.index import Index, index_for
from proveout.intake.resolve import Named, choose
from proveout.intake.words import Match, match
from proveout.measure.distance import distance, kilometres
from proveout.model.atom import HAPPENS, SYMPTOM
from proveout.model.book import Book
from proveout.terminal.talk import Question, joined, line, tell, which

_KEYS = {SYMPTOM: "symptoms", HAPPENS: "happens_when"}
_FUELS = ("petrol", "diesel", "E85", "LPG", "CNG", "hybrid")
_OLDEST = 150
#: A time of years during which something has been so.
_FOR_YEARS = re.compile(r"^(?:for|since|over) .*\byears\b|^for years\b", re.IGNORECASE)


def questions(book: Book) -> tuple[Question, ...]:
    """Return the questions of an intake in their order."""
    index = index_for(book)
    asked = {
        "symptoms_absent": "Looked for, and not there (no smell of fuel, no smoke, ...)",
        "replaced": "Parts already replaced without effect (ignition coil, purge valve twice, ...)",
        "recent_work": "Work done just before it began",
        "tools": "Tools at hand (meter, vacuum pump, ...)",
    }
    lists = {
        key: Question(key, text, partial(_list, key, book), partial(_titles, vocabularies(book)[key][2]))
        for key, text in asked.items()
    }
    return (
        Question(
            "codes", "Codes read (P0442, P0171 pending, ...)", partial(_codes, book), lambda: _CODE_HELP
        ),
        Question(
            "said", "What do you notice, in your own words", partial(_said, index), partial(_heard, book)
        ),
        lists["symptoms_absent"],
        lists["replaced"],
        lists["recent_work"],
        Question("age", "Age in years, or the year it was first on the road", _age, lambda: ["12", "2009"]),
        Question("mileage", "Mileage, with km or mi", _mileage, lambda: ["150,000 km", "93k mi"]),
        Question("fuel", "Fuel", lambda said: {"vehicle": {"fuel": said}}, lambda: _FUELS),
        lists["tools"],
    )


_CODE_HELP = (
    "a letter and four characters, as many as there are: P0442 P0456",
    "with its status where it is not confirmed: P0442:pending, P0442:permanent, P0442:history",
)


def _titles(terms: Mapping[str, Named]) -> Iterable[str]:
    return sorted((term.title for term in terms.values()), key=str.casefold)


def _heard(book: Book) -> Iterable[str]:
    return [*_titles(book.words.symptoms), *_titles(book.words.circumstances)]


def _codes(book: Book, answer: str) -> dict[str, Any]:
    """Read codes, each perhaps with its status after it, and say what each means."""
    said = re.sub(r"[\s:]+(confirmed|pending|permanent|history)\b", r":\1", answer, flags=re.IGNORECASE)
    words = [text for text in re.split(r"[,;\s]+|\band\b", said) if text]
    families = (
        {entry.family for entry in book.words.codes.values()} if any(map(str.isalpha, words)) else set()
    )
    unnumbered = [text.casefold() for text in words if text.casefold() in families]
    for family in unnumbered:
        tell(f"  a code of {family}, number not known: read it if you can, it tells far more")
    found = [code_from(text) for text in words if text.casefold() not in families]
    for item in found:
        code = (item if isinstance(item, str) else item["code"]).upper()
        entry = book.words.codes.get(code[:5])
        tell(f"  {code}: {entry.meaning if entry else 'not in the catalogue of this book; it is kept'}")
    return {"codes": found, "code_families": unnumbered}


def _said(index: Index, answer: str) -> dict[str, Any]:
    """Take what is clear, ask about what is not, keep the rest as it was said; until there is no more."""
    parts = []
    while answer:
        parts.append(understood(answer, index))
        answer = line("Anything else? (Enter goes on)", lambda: ("anything else that you notice",))
    return joined(parts)


def understood(text: str, index: Index) -> dict[str, Any]:
    """Return the part of an intake document that a text amounts to, asking about what is unclear."""
    found, lost = match((text,), index)
    parts = [_one_match(item) for item in found]
    for clause in lost:
        tell(f"  Kept as you said it: “{clause}”")
    return joined([*parts, {"said": list(lost)}])


def _one_match(found: Match) -> dict[str, Any]:
    """Return what one part of a text says; the person decides where it is not clear."""
    key, title, negated = found.id, found.title, found.negated
    if not found.taken:
        options = [
            (found.id, found.title, found.negated),
            *((o.id, o.title, o.negated) for o in found.others),
        ]
        shown = [(key, ("not there: " if no else "") + title) for key, title, no in options]
        key = which(f"“{found.clause}”: is one of these meant?", shown)
        if not key:
            return {"said": [found.clause]}
        title, negated = next((title, no) for name, title, no in options if name == key)
    kind = next(
        kind
        for name, kind in ((found.id, found.kind), *((o.id, o.kind) for o in found.others))
        if name == key
    )
    if negated and kind != SYMPTOM:
        return {"said": [found.clause]}
    tell(f"  “{found.clause}”: {'not there: ' if negated else ''}{title}")
    part: dict[str, Any] = {"symptoms_absent" if negated else _KEYS.get(kind, "recent_work"): [key]}
    if any(_FOR_YEARS.search(hedge) for hedge in found.hedges):
        part["history"] = {"for_years": True}
    return part | {"remarks": [f"{title}: {hedge}" for hedge in found.hedges]}


def _list(key: str, book: Book, answer: str) -> dict[str, Any]:
    """Read entries of one vocabulary, asking about each that is not clear."""
    _, kind, terms = vocabularies(book)[key]
    whole = choose(answer, terms)
    parts = [answer] if whole.id else [part.strip() for part in re.split(r"[,;]|\band\b|\bor\b", answer)]
    if key == "replaced":
        return _replaced(kind, parts, terms)
    found = [
        _entry(kind, part.removeprefix("no ") if key == "symptoms_absent" else part, terms)
        for part in parts
        if part
    ]
    return {key: list(dict.fromkeys(filter(None, found)))}


#: How often something was replaced, as people say it.
_TIMES = {"twice": 2, "two times": 2, "three times": 3, "four times": 4}
_OFTEN = re.compile(rf"\s*\b(?:{'|'.join(_TIMES)}|(\d+) (?:times|x))$", re.IGNORECASE)


def _replaced(kind: str, parts: Iterable[str], terms: Mapping[str, Named]) -> dict[str, Any]:
    """Read the parts that were replaced, each perhaps with how often."""
    found, again = [], {}
    for part in filter(None, parts):
        often = _OFTEN.search(part)
        if name := _entry(kind, _OFTEN.sub("", part), terms):
            found.append(name)
            if often:
                again[name] = int(often[1]) if often[1] else _TIMES[often[0].strip().casefold()]
    several = {name: times for name, times in again.items() if 1 < times <= 20}
    return {"replaced": list(dict.fromkeys(found)), "history": {"replaced_again": several} if several else {}}


def _entry(kind: str, said: str, terms: Mapping[str, Named]) -> str:
    """Return the entry that is meant, or "" where it is left out."""
    while said:
        found = choose(said, terms)
        key = found.id
        if not key and found.near:
            key = which(
                f"“{said}”: is one of these meant?", [(near, terms[near].title) for near in found.near]
            )
        if key:
            tell(f"  “{said}”: {terms[key].title}")
            return key
        tell(f"  “{said}” is not known here as a {kind}.")
        said = line("  Say it otherwise, or Enter to leave it out", partial(_titles, terms))
    return ""


def _age(answer: str) -> dict[str, Any]:
    """Read an age, or the year from which it counts."""
    found = age_from(answer, datetime.now(UTC).year)
    if "first_year" in found:
        tell(f"  First on the road in {found['first_year']}: {found['age_years']:.0f} years old")
    return {"vehicle": found}


def _mileage(answer: str) -> dict[str, Any]:
    """Read a distance, asking for its unit where it has none."""
    value, unit = distance(answer)
    if not unit:
        unit = which(f"{value:,.0f}: kilometres or miles?", (("km", "kilometres"), ("mi", "miles")))
        if not unit:
            return {}
    tell(f"  {value:,.0f} {unit}" + (f", which is {kilometres(value, unit):,.0f} km" if unit == "mi" else ""))
    return {"vehicle": {"mileage_km": kilometres(value, unit)}}
