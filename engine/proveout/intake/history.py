"""What a case tells of its history, as far as it counts, and in words what it does."""

from __future__ import annotations

from msgspec.structs import replace

from proveout.model.book import Book
from proveout.model.case import Case, History

#: From this distance, km, or age, years, on a part that was never changed is mostly worn (from memory).
WORN_KM, WORN_YEARS = 100_000.0, 10.0


def history_of(case: Case, book: Book) -> tuple[History, tuple[str, ...]]:
    """Return what counts of the history of a case, and what is said of it."""
    told, parts = case.history, book.words.components
    notes = []
    if told.for_years:
        notes.append("It has been so for years: “nothing wrong now” counts as less likely.")
    for name, times in told.replaced_again:
        notes.append(f"{parts[name].title}: replaced {times} times without effect; each new one counts.")
    worn = _worn(case)
    for name in told.never_changed:
        later = f"that counts only from {WORN_KM:,.0f} km or {WORN_YEARS:.0f} years on"
        how = "its wear counts as likelier" if worn else later
        notes.append(f"{parts[name].title}: never changed; {how}.")
    if told.engine_exchanged:
        notes.append(
            "The engine was exchanged: that changes nothing here, since which parts came with it is not "
            "known. Where it was lately, say what was done as recent work."
        )
    notes += [
        f"A code of {family} was read, and its number is not known: read it, it tells far more."
        for family in case.code_families
    ]
    return replace(told, never_changed=told.never_changed if worn else ()), tuple(notes)


def _worn(case: Case) -> bool:
    """Say whether the vehicle has come far enough, or is old enough, for what was never changed to wear."""
    km, years = case.facts.get("vehicle.mileage", 0.0), case.facts.get("vehicle.age", 0.0)
    return float(km) >= WORN_KM or float(years) >= WORN_YEARS
