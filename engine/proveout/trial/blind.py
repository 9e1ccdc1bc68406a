"""What a case costs where nothing is inspected: the usual way, held beside the planner's."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.belief import Posterior
from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.trial.world import presenting
from proveout.weigh.inference import infer

#: What can be done without finding the fault: parts bought and fitted; or, generously, any remedy at all.
PARTS = frozenset({"replace"})
REMEDIES = frozenset({"replace", "repair", "clean", "tighten", "clear-passage", "relearn", "reprogram"})
#: Nobody buys a part less likely than this.
LIKELY = 0.02


def mended_here(book: Book, cause: str) -> bool:
    """Say whether a verdict on the cause leads to something done here, be it only clearing the code."""
    return bool(cause) and book.causes[cause].remedy.action != "refer"


def mending(book: Book, costs: Costs, cause: str, opened: frozenset[str]) -> float:
    """Return the price of one remedy: minutes, access that is still shut, and the part."""
    remedy = book.causes[cause].remedy
    shut = sum(book.words.access[place].minutes for place in remedy.access if place not in opened)
    return (remedy.minutes + shut) * costs.per_hour / 60.0 + remedy.part_cost.middle


def hand_over(book: Book, costs: Costs, left: Iterable[str], told: str = "") -> float:
    """Return a specialist's price: searching, or confirming what he is rightly told, and mending it all."""
    left = set(left)
    search = costs.refer_proven if left == {told} else costs.refer_out
    return search + sum(mending(book, costs, c, frozenset()) for c in sorted(left) if mended_here(book, c))


class Blind:
    """Works through cases by likelihood alone; remembers what each code makes likely.

    Attributes:
        over: causes that are over by themselves once the code is cleared.
        replaced: by part the causes that a new one ends.
    """

    def __init__(self, book: Book, costs: Costs) -> None:
        self.book, self.costs = book, costs
        self._believed: dict[str, Posterior] = {}
        self.over = {c for c, other in book.causes.items() if other.remedy.action == "nothing"}
        self.replaced: dict[str, set[str]] = {}
        for name, other in book.causes.items():
            if other.remedy.action == "replace":
                self.replaced.setdefault(other.component, set()).add(name)

    def cost(self, code: str, truth: frozenset[str], actions: frozenset[str]) -> float:
        """Return the cost of working through the remedies of some kinds until the trouble is gone.

        A new part ends every fault of that part that a new one mends; clearing the code on the way ends the
        case where nothing was wrong any more. When every remedy has been done that the code makes likely the
        case is handed over.
        """
        chance = self.suspects(code).confidence()
        left, spent, opened = set(truth), 0.0, frozenset[str]()
        tried: set[str] = set()
        for cause in sorted(chance, key=lambda c: (-round(chance[c], 12), c)):
            remedy = self.book.causes[cause].remedy
            if cause in tried or remedy.action not in actions or chance[cause] < LIKELY:
                continue
            spent += mending(self.book, self.costs, cause, opened)
            opened |= set(remedy.access)
            ended = self._ended_by(cause)
            tried |= ended
            left -= ended
            if truth and not left:
                return spent
        return spent + hand_over(self.book, self.costs, left)

    def suspects(self, code: str) -> Posterior:
        """Return what is believed where a code is all that is known."""
        if code not in self._believed:
            self._believed[code] = infer(self.book, presenting(code), "reference").posterior
        return self._believed[code]

    def _ended_by(self, cause: str) -> set[str]:
        """Return the causes that the remedy of one of them ends."""
        entry = self.book.causes[cause]
        same_part = self.replaced[entry.component] if entry.remedy.action == "replace" else set[str]()
        return self.over | {cause} | same_part
