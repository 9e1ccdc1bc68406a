"""Who else may pay for a part: emission warranties, and what to ask before buying.

The US federal terms come with the program; others are laid over them as data (``terms_from``). A term only
ever gives a reminder to ask: the maker's own booklet and the dealer decide.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from proveout.model.problem import BadInputError, Place, Problem
from proveout.readiness.regulation import FIGURES, KM_PER_MILE, MEMORY, figure

#: How a term stands.
MAY_PAY, OVER, UNKNOWN = "may pay", "over", "unknown"

#: Asked before every purchase, whatever the terms say.
ASK_FIRST = (
    "Ask the maker or the national authority, with the vehicle's number, whether a recall is open for it: "
    "a recall is mended free of charge.",
    "Ask a dealer whether the maker has published a bulletin on this code, "
    "or has extended its warranty on this part.",
    "Look for a warranty on the part itself where it was bought or fitted.",
)


@dataclass(frozen=True, slots=True)
class Term:
    """One warranty term.

    Attributes:
        id, title: a short name and what it is called.
        years, km: it ends with the first of the two.
        components: component ids of the book that it covers; every emission part where empty.
        first_model_year: oldest model year for which it holds; 0 for all.
        source, sure: where it stands and how sure.
    """

    id: str
    title: str
    years: float
    km: float
    components: tuple[str, ...] = ()
    first_model_year: int = 0
    source: str = ""
    sure: str = MEMORY


#: The three components of the long US federal term, by the ids that a book may use for them.
MAJOR = (
    "catalytic-converter",
    "catalyst",
    "engine-control-module",
    "control-module",
    "emission-control-module",
    "on-board-diagnostic-device",
)

FEDERAL: tuple[Term, ...] = (
    Term(
        "us-federal-major",
        "US federal, 8 years or 80,000 miles: catalytic converter, electronic emission control unit, "
        "on-board diagnostic device",
        figure("warranty-major-years"),
        figure("warranty-major-miles") * KM_PER_MILE,
        MAJOR,
        int(figure("warranty-from")),
        f"{FIGURES['warranty-major-years'].source}; 42 USC 7541(i)(2)",
        FIGURES["warranty-major-years"].sure,
    ),
    Term(
        "us-federal-other",
        "US federal, 2 years or 24,000 miles: other emission parts",
        figure("warranty-other-years"),
        figure("warranty-other-miles") * KM_PER_MILE,
        (),
        int(figure("warranty-from")),
        FIGURES["warranty-other-years"].source,
        FIGURES["warranty-other-years"].sure,
    ),
)


@dataclass(frozen=True, slots=True)
class Reminder:
    """How one term stands for a part of a vehicle: ``MAY_PAY``, ``OVER`` or ``UNKNOWN``, and why."""

    term: Term
    stands: str
    why: str


def reminders(
    component: str,
    age_years: float | None = None,
    mileage_km: float | None = None,
    model_year: int | None = None,
    terms: Sequence[Term] = FEDERAL,
) -> tuple[Reminder, ...]:
    """Give the terms that cover a component, with how each stands.

    Args:
        component: id in the book.
        age_years: since the vehicle was first delivered; None where unknown.
        mileage_km: driven; None where unknown.
        model_year: None where unknown.
        terms: all terms to look at.
    """
    covering = (term for term in terms if not term.components or component in term.components)
    return tuple(_stands(term, age_years, mileage_km, model_year) for term in covering)


def _stands(term: Term, age: float | None, km: float | None, model_year: int | None) -> Reminder:
    if model_year is not None and model_year < term.first_model_year:
        return Reminder(term, OVER, f"it holds from model year {term.first_model_year} on")
    if age is not None and age >= term.years:
        return Reminder(term, OVER, f"{age:g} years are past {term.years:g}")
    if km is not None and km >= term.km:
        return Reminder(term, OVER, f"{km:,.0f} km are past {term.km:,.0f} km")
    missing = [name for name, value in (("age", age), ("mileage", km)) if value is None]
    if missing:
        return Reminder(term, UNKNOWN, f"the {' and '.join(missing)} of the vehicle would tell")
    return Reminder(term, MAY_PAY, f"{age:g} of {term.years:g} years, {km:,.0f} of {term.km:,.0f} km")


def terms_from(entries: Sequence[Mapping[str, Any]], file: str) -> tuple[Term, ...]:
    """Read further terms: a list of mappings with the attributes of ``Term`` as keys.

    Raises:
        BadInputError: a key is unknown, missing or of the wrong kind.
    """
    found = []
    for number, entry in enumerate(entries, 1):
        try:
            term = Term(**{**entry, "components": tuple(entry.get("components", ()))})
            if not (float(term.years) > 0 and float(term.km) > 0):
                raise ValueError("years and km must be above 0")
        except (TypeError, ValueError, AttributeError) as error:
            expected = "id, title, years, km, and if need be components, first_model_year, source, sure"
            saw = f"entry {number} cannot be used: {error}"
            raise BadInputError(Problem(Place(file), "bad-term", saw, expected)) from None
        found.append(term)
    return tuple(found)
