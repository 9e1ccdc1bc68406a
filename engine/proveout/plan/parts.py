"""What proving a cause takes: which faults of its part count with it, and what must be inspected first.

Bought is a part, not a fault in it. So faults of one component that the same new part ends count together,
each with what must be inspected before buying. And a look shows what is there, not where it came from: where
nothing but looks shows a cause, what they could be a consequence of must be inspected, too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.belief import Posterior
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.entries import Inspection, same_part
from proveout.weigh.cpts import cpt
from proveout.weigh.presence import Presence

#: Likelier than not.
EVEN = 0.5
#: A look at a cause could be a consequence of another one that makes the same result this share as likely.
CONSEQUENCE = 0.25


class Claim(Struct, frozen=True):
    """What it takes to prove one cause.

    Attributes:
        cause: id.
        direct: ``failed`` if an inspection shows it, ``passed`` if those that would do not, else ``none``.
        counted: the causes of the same part that count with it, itself first.
        confidence: probability that one of those counted is present.
        needed: inspections that must have given a clear result.
        roots: causes of which what was seen could be a consequence, and that nothing has cleared or shown.
    """

    cause: str
    direct: str
    counted: tuple[str, ...]
    confidence: float
    needed: tuple[str, ...]
    roots: tuple[str, ...] = ()


def ended_by(book: Book, cause: str, among: Iterable[str]) -> frozenset[str]:
    """Return the causes, of some, that mending one of them ends."""
    entry = book.causes[cause]
    return frozenset(other for other in among if same_part(entry, book.causes[other]))


def inspections_of(book: Book, component: str) -> list[str]:
    """Return the inspections that show a fault of the component directly."""
    causes = [cause.id for cause in book.causes.values() if cause.component == component]
    return sorted({name for cause in causes for name in book.proved_by.get(cause, ())})


def direct(book: Book, clear: Mapping[str, str], cause: str, presence: Presence) -> str:
    """Return what the proving inspections said: ``failed`` if one shows it, else ``passed`` or ``none``.

    One that was made while the cause may have been away has not cleared it.
    """
    made = [check for check in book.proved_by.get(cause, ()) if check in clear]
    if any(clear[check] in book.inspections[check].proves[cause] for check in made):
        return "failed"
    return "passed" if any(presence.seen(check, cause) > EVEN for check in made) else "none"


class Claims:
    """The claims of a case: of every cause in play, what proving it takes."""

    def __init__(
        self,
        book: Book,
        sheet: Sheet,
        clear: Mapping[str, str],
        facts: frozenset[Atom],
        posterior: Posterior,
        costs: Costs,
    ) -> None:
        """Take a case and what is believed of it; ``clear`` holds the clear results of its inspections."""
        self.book, self.clear, self.facts, self.posterior = book, clear, facts, posterior
        self.threshold = costs.threshold
        self.sure = posterior.confidence()
        presence = Presence(book, sheet)
        self.shown = {cause: direct(book, clear, cause, presence) for cause in posterior.causes}
        self.hopeless = sheet.set_aside | {
            seen.observable.key for seen in sheet.observations if seen.observable.kind == RESULT
        } - set(clear)
        self.places = {cause: place for place, cause in enumerate(posterior.causes)}
        parts: dict[tuple[str, str], list[str]] = {}
        for cause in posterior.causes:
            entry = book.causes[cause]
            if entry.remedy.action == "replace":
                parts.setdefault((entry.component, entry.remedy.part), []).append(cause)
        self.part = {cause: tuple(some) for some in parts.values() for cause in some}

    def all(self) -> tuple[Claim, ...]:
        """Return the claims in the order of the causes in play."""
        return tuple(self.of(cause) for cause in self.posterior.causes)

    def of(self, cause: str) -> Claim:
        """Return the claim of one cause in play."""
        entry, part = self.book.causes[cause], self.part.get(cause, (cause,))
        needed = dict.fromkeys(entry.before_buying)
        if self.shown[cause] == "failed" and self.sure[cause] < self.threshold <= self.either(part):
            needed.update(dict.fromkeys(self._before_part(cause, part)))
        roots = self._roots(cause)
        needed.update(dict.fromkeys(filter(None, map(self._look_for, roots))))
        settled = needed.keys() | self.clear.keys()
        counted = (cause, *(one for one in part if one != cause and self._before(one) <= settled))
        return Claim(cause, self.shown[cause], counted, self.either(counted), tuple(needed), roots)

    def either(self, causes: tuple[str, ...]) -> float:
        """Return the probability that one of some causes is present."""
        if len(causes) == 1:
            return self.sure[causes[0]]
        columns = [self.places[cause] for cause in causes]
        holding = self.posterior.member[:, columns].any(axis=1)
        return min(float(self.posterior.prob @ holding), 1.0)

    def _before(self, cause: str) -> set[str]:
        return set(self.book.causes[cause].before_buying)

    def _before_part(self, cause: str, part: tuple[str, ...]) -> list[str]:
        """Return what must be inspected that enough faults of a part count, the likeliest first."""
        others = sorted((one for one in part if one != cause), key=lambda one: (-self.sure[one], one))
        chosen = [cause]
        while self.either(tuple(chosen)) < self.threshold and others:
            chosen.append(others.pop(0))
        return [check for one in chosen for check in self.book.causes[one].before_buying]

    def _roots(self, cause: str) -> tuple[str, ...]:
        """Return what the looks that alone show a cause could be a consequence of."""
        if self.shown[cause] != "failed":
            return ()
        proving = {check: self.clear.get(check) for check in self.book.proved_by.get(cause, ())}
        shown = [
            (check, result)
            for check, result in proving.items()
            if result in self.book.inspections[check].proves[cause]
        ]
        if any(self.book.inspections[check].kind != "visual" for check, _ in shown):
            return ()
        found = {one for check, result in shown for one in self._behind(cause, check, str(result))}
        return tuple(sorted(found, key=lambda one: (-self.sure[one], one)))

    def _behind(self, cause: str, check: str, result: str) -> Iterable[str]:
        """Return the likely causes, neither cleared nor shown, that bring the same result of a look."""
        how = cpt(self.book, self.facts, Observable(RESULT, check))
        if how is None or result not in how.states or cause not in how.given:
            return
        column, proves = how.states.index(result), self.book.inspections[check].proves
        for other, row in how.given.items():
            likely = self.sure.get(other, 0.0) > 1.0 - self.threshold
            brings = row[column] >= CONSEQUENCE * how.given[cause][column]
            apart = not same_part(self.book.causes[cause], self.book.causes[other])
            unseen = self.shown.get(other) == "none" and result not in proves.get(other, ())
            if likely and brings and apart and unseen:
                yield other

    def _look_for(self, root: str) -> str:
        """Return the handiest inspection that shows a root, or "" where the book has none."""
        entries = [self.book.inspections[check] for check in self.book.proved_by.get(root, ())]
        return min(entries, key=self._effort).id if entries else ""

    def _effort(self, entry: Inspection) -> tuple[bool, int, float, str]:
        """Return what makes an inspection less handy than others."""
        wanted = sum(not self.book.words.tools[tool].basic for tool in entry.tools)
        return entry.id in self.hopeless, wanted, entry.minutes, entry.id
