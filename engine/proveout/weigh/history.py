"""What was so before, as people tell it: what it does to the odds of a cause, and what it does not.

All figures are from memory. What comes back after a mending is weighed in ``watching``, what comes and goes
in ``presence``; a reading of a part that was replaced since counts for nothing; and that the engine was
exchanged changes nothing: the book does not say which parts came with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import prod

from msgspec import Struct

from proveout.model.atom import CODE, HAPPENS, STATUS, Atom, Observable
from proveout.model.belief import CPT, Evidence
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.presence import TIME
from proveout.weigh.cpts import CPTs

#: "Nothing wrong now", where it has been so for years, or comes back every few weeks: a freak does neither.
LASTS = 0.3
#: "Nothing wrong now" where all that is stored are codes from before, and what comes and goes where it does.
AWAY_NOW, COMES_AND_GOES = 2.0, 2.0
#: What wears or clogs in a part that was never changed, after ``history.WORN_KM`` or ``history.WORN_YEARS``.
NEVER_CHANGED = 1.5
#: Most that a code of unknown number may be seen with a cause, and least of it with none.
MOST, LEAST = 0.97, 0.001
#: Remedies of what wears or clogs.
_WEARS = ("replace", "clean")


class Factor(Struct, frozen=True):
    """What a piece of history does to the prior odds of a cause: ``times`` them, and why in words."""

    why: str
    times: float


def factors(book: Book, cause_id: str, sheet: Sheet) -> tuple[Factor, ...]:
    """Return what the history of a case does to the prior odds of a cause."""
    cause, told = book.causes[cause_id], sheet.history
    idle = cause.remedy.action == "nothing"
    returns = _returns(book, sheet)
    found = []
    if idle and (told.for_years or returns):
        found.append(Factor("it lasts for years or keeps coming back", LASTS))
    elif idle and _all_stored(sheet):
        found.append(Factor("every code is from before and not there now", AWAY_NOW))
    if cause.comes_with and returns:
        found.append(Factor("it comes and goes", COMES_AND_GOES))
    if cause.component in told.never_changed and cause.remedy.action in _WEARS:
        found.append(Factor("the part was never changed", NEVER_CHANGED))
    if (times := dict(told.replaced_again).get(cause.component, 1)) > 1:
        bad = book.words.components[cause.component].new_part_bad
        found.append(Factor(f"the part was replaced {times} times without effect", bad ** (times - 1)))
    return tuple(found)


def _returns(book: Book, sheet: Sheet) -> bool:
    """Say whether the trouble is said to come back by itself."""
    terms = book.words.circumstances
    held = (atom.key for atom in sheet.atoms if atom.kind == HAPPENS and atom.key in terms)
    return any(TIME in terms[key].brings_on for key in held if key != "once-only")


def _all_stored(sheet: Sheet) -> bool:
    codes = [atom.key for atom in sheet.atoms if atom.kind == CODE]
    return bool(codes) and all(Atom(STATUS, code, "history") in sheet.atoms for code in codes)


def numberless(book: Book, sheet: Sheet, cpts: CPTs) -> list[Evidence]:
    """Return the codes of which only the family is known, each as "one of this family's codes is set".

    A cause sets one of them as often as it sets any of them; where one of the family was read with its
    number, that says all.
    """
    catalogue = book.words.codes
    read = {catalogue[a.key].family for a in sheet.atoms if a.kind == CODE and a.key in catalogue}
    found = []
    for family in sheet.code_families:
        codes = [code for code, entry in catalogue.items() if entry.family == family]
        if family not in read and (cpt := _any_of(cpts, family, codes)):
            found.append(Evidence(cpt, (("set", 1.0),), f"a code of the family {family}, number unknown"))
    return found


def _any_of(cpts: CPTs, family: str, codes: Iterable[str]) -> CPT | None:
    """Return the table of "one of these codes is set", or None where no rule weighs any of them."""
    each = [one for code in codes if (one := cpts.on(Observable(CODE, code)))]
    if not each:
        return None
    causes = sorted({cause for one in each for cause in one.given})
    given = {c: (min(_any([one.given[c][0] for one in each if c in one.given]), MOST),) for c in causes}
    background = min(max(_any([one.background[0] for one in each]), LEAST), MOST)
    heard = ["", *causes]
    spoke = {c: tuple(sorted({rule for one in each for rule in one.spoke.get(c, ())})) for c in heard}
    return CPT(Observable(CODE, family), ("set",), (background,), given, spoke)


def _any(shares: Sequence[float]) -> float:
    """Return the probability that one of some independent things is so."""
    return 1.0 - prod(1.0 - share for share in shares)
