"""A shop's own prices of parts in the place of the book's ranges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec.structs import replace

from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.model.entries import Cause, Range


class _Priced(Mapping[str, Cause]):
    """Causes whose parts have the shop's prices, each made when it is first asked for."""

    def __init__(self, causes: Mapping[str, Cause], prices: Mapping[str, float]) -> None:
        self._causes, self._prices = causes, prices
        self._made: dict[str, Cause] = {}

    def __getitem__(self, key: str) -> Cause:
        if key not in self._made:
            cause = self._causes[key]
            price = self._prices.get(cause.component)
            if price is not None and cause.remedy.part_cost.high > 0:
                cause = replace(cause, remedy=replace(cause.remedy, part_cost=Range(price, price)))
            self._made[key] = cause
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._causes)

    def __len__(self) -> int:
        return len(self._causes)

    def __contains__(self, key: object) -> bool:
        return key in self._causes


def priced(book: Book, costs: Costs) -> Book:
    """Return a book in which a new part costs what the case says; the book itself where it says nothing."""
    if not costs.parts:
        return book
    return replace(book, causes=_Priced(book.causes, dict(costs.parts)))
