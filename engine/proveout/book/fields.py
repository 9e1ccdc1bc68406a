"""Fields of entries: text, lists of text, numbers and ranges out of nodes that have passed the schemas."""

from __future__ import annotations

from proveout.book.conditions import word
from proveout.model.entries import Range
from proveout.model.problem import Problem
from proveout.text.node import Listing, Mapping, Node, Scalar


def texts(node: Mapping, key: str) -> tuple[str, ...]:
    """Return the list of texts under a key; empty where there is none."""
    inner = node.get(key)
    return tuple(n.text for n in inner.items if isinstance(n, Scalar)) if isinstance(inner, Listing) else ()


def number(node: Mapping, key: str, default: float = 0.0) -> float:
    """Return the number under a key."""
    found = maybe_number(node, key)
    return default if found is None else found


def maybe_number(node: Mapping, key: str) -> float | None:
    """Return the number under a key, or None where there is none."""
    inner = node.get(key)
    value = inner.value if isinstance(inner, Scalar) else None
    return float(value) if isinstance(value, int | float) else None


def inner(node: Mapping, key: str) -> Mapping:
    """Return the mapping under a key; an empty one where there is none."""
    found = node.get(key)
    return found if isinstance(found, Mapping) else Mapping((), node.place)


def ends(node: Node | None, problems: list[Problem]) -> tuple[float | None, float | None]:
    """Return the ends of ``low..high``, an open end as None; both where there is nothing."""
    text = node.text if isinstance(node, Scalar) else ".."
    low, _, high = text.partition("..")
    found = (float(low) if low else None, float(high) if high else None)
    if node is not None and found[0] is not None and found[1] is not None and found[0] > found[1]:
        mend = f"write {high}..{low}"
        problems.append(Problem(node.place, "range-order", f"'{text}'", "the lower end first", mend))
        return found[1], found[0]
    return found


def money(node: Mapping, key: str, problems: list[Problem]) -> Range:
    """Return the price range under a key, written ``low..high`` or one number; 0..0 where there is none."""
    if ".." not in word(node, key):
        price = number(node, key)
        return Range(price, price)
    low, high = ends(node.get(key), problems)
    return Range(low or 0.0, high or 0.0)
