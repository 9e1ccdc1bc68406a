"""Who else may pay for a part: emission warranties, and what to ask before buying.

The US federal terms come with the program; a book may hold others. A term only ever gives a reminder to ask:
the maker's own booklet and the dealer decide.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from proveout.model.book import Book
from proveout.model.terms import Warranty
from proveout.readiness.regulation import FIGURES, KM_PER_MILE, figure

#: How a term stands.
MAY_PAY, OVER, UNKNOWN = "may pay", "over", "unknown"

#: Asked before every purchase, whatever the terms say.
ASK_FIRST = (
    "Ask the maker or the national authority, with the vehicle's number, about open recalls: "
    "they are mended free of charge.",
    "Ask a dealer whether the maker has published a bulletin on this code, such as a calibration update that "
    "mends it without a part, or has extended its warranty on this part.",
    "Look for a warranty on the part itself where it was bought or fitted.",
)


#: The three components of the long US federal term, by the ids that a book may use for them.
MAJOR = (
    "catalytic-converter",
    "catalyst",
    "engine-control-module",
    "control-module",
    "emission-control-module",
    "on-board-diagnostic-device",
)

FEDERAL: tuple[Warranty, ...] = (
    Warranty(
        "us-federal-major",
        "US federal, 8 years or 80,000 miles: catalytic converter, electronic emission control unit, "
        "on-board diagnostic device",
        figure("warranty-major-years"),
        figure("warranty-major-miles") * KM_PER_MILE,
        MAJOR,
        int(figure("warranty-from")),
        f"{FIGURES['warranty-major-years'].source}; 42 USC 7541(i)(2); "
        f"{FIGURES['warranty-major-years'].sure}",
    ),
    Warranty(
        "us-federal-other",
        "US federal, 2 years or 24,000 miles: other emission parts",
        figure("warranty-other-years"),
        figure("warranty-other-miles") * KM_PER_MILE,
        (),
        int(figure("warranty-from")),
        f"{FIGURES['warranty-other-years'].source}; {FIGURES['warranty-other-years'].sure}",
    ),
)


@dataclass(frozen=True, slots=True)
class Reminder:
    """How one term stands for a part of a vehicle: ``MAY_PAY``, ``OVER`` or ``UNKNOWN``, and why."""

    term: Warranty
    stands: str
    why: str


def known_terms(*books: Book) -> tuple[Warranty, ...]:
    """Return the terms that come with the program and those of books, by id; the last book counts."""
    found = {term.id: term for term in FEDERAL}
    for book in books:
        found.update(book.words.warranties)
    return tuple(found[name] for name in sorted(found))


def reminders(
    component: str,
    age_years: float | None = None,
    mileage_km: float | None = None,
    model_year: int | None = None,
    terms: Iterable[Warranty] = FEDERAL,
) -> tuple[Reminder, ...]:
    """Return the terms that cover a component, with how each stands.

    Args:
        component: id in the book.
        age_years: since the vehicle was first delivered; None where unknown.
        mileage_km: driven; None where unknown.
        model_year: None where unknown.
        terms: all terms to look at.
    """
    covering = (term for term in terms if not term.components or component in term.components)
    return tuple(_stands(term, age_years, mileage_km, model_year) for term in covering)


def _stands(term: Warranty, age: float | None, km: float | None, model_year: int | None) -> Reminder:
    if model_year is not None and model_year < term.first_model_year:
        return Reminder(term, OVER, f"it holds from model year {term.first_model_year} on")
    if age is not None and age >= term.years:
        return Reminder(term, OVER, f"{age:g} years are past {term.years:g}")
    if km is not None and km >= term.km:
        return Reminder(term, OVER, f"{km:,.0f} km are past {term.km:,.0f} km")
    ends = (("age", age, term.years), ("mileage", km, term.km))
    missing = [name for name, value, end in ends if value is None and end < inf]
    if missing:
        return Reminder(term, UNKNOWN, f"the {' and '.join(missing)} of the vehicle would tell")
    so_far = [f"{age:g} of {term.years:g} years"] if term.years < inf else []
    so_far += [f"{km:,.0f} of {term.km:,.0f} km"] if term.km < inf else []
    return Reminder(term, MAY_PAY, ", ".join(so_far))
