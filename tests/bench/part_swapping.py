"""Cost of swapping parts against this planner: python tests/bench/part_swapping.py [cases] [seed].

Cases are drawn from the shipped book: a code of the family as often as the base rates make it, the causes
behind it, and every result by the book's tables. Both ways are followed to the end at the book's minutes
and prices.
"""

from __future__ import annotations

import sys
import time

from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.trial.played import Played
from proveout.trial.simulate import drawing, simulate, weighed_codes

FAMILY = "evap"
#: Tool chests: all that the book knows; a meter, a hand vacuum pump and a probe kit; none but basic ones.
AMATEUR = frozenset({"multimeter", "hand-vacuum-pump", "probe-kit"})


def main(cases: int, seed: int) -> None:
    """Print one line for each tool chest, and one for a world that differs from the book."""
    book = load_book()
    everything = frozenset(book.words.tools)
    chests = {"all tools": everything, "meter, pump, probes": AMATEUR, "no tools": frozenset()}
    print(f"{cases} cases of family {FAMILY}, seed {seed}\n")
    print(
        f"{'':<32}{'ours':>8}{'parts':>8}{'ratio':>7}{'remedies':>10}{'ratio':>7}{'right':>8}{'wrong':>8}{'referred':>10}{'seconds':>9}"
    )
    for name, tools in chests.items():
        _line(name, book, cases, seed, tools, 1.0)
    _line("all tools, frequencies off by 2", book, cases, seed, chests["all tools"], 2.0)


def _line(name: str, book: Book, cases: int, seed: int, tools: frozenset[str], disturbance: float) -> None:
    began = time.perf_counter()
    codes = [code for code in weighed_codes(book) if book.words.codes[code].family == FAMILY]
    drawn = drawing(book, seed=seed, codes=codes, tools=tools, disturbance=disturbance)
    played = tuple(simulate(book, drawn, cases=cases))
    ours = sum(one.cost for one in played) / cases
    parts = sum(one.parts for one in played) / cases
    remedies = sum(one.remedies for one in played) / cases
    print(
        f"{name:<32}{ours:>8.1f}{parts:>8.1f}{parts / ours:>7.2f}{remedies:>10.1f}{remedies / ours:>7.2f}"
        f"{_share(played, True):>8.3f}{_share(played, False):>8.3f}"
        f"{sum(not one.named for one in played) / cases:>10.3f}"
        f"{time.perf_counter() - began:>9.0f}"
    )


def _share(played: tuple[Played, ...], right: bool) -> float:
    """Return the share of cases whose verdict names a cause, rightly or wrongly."""
    return sum(bool(one.named) and one.right == right for one in played) / len(played)


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    main(*(given + [200, 1][len(given) :]))
