"""Conditions of rules: nodes to atoms, thresholds and equalities to predicates.

Nodes are taken to have passed the schemas; what those cannot express is reported here.
"""

from __future__ import annotations

import re

from msgspec import Struct

from proveout.model.atom import CODE, FACT, FINDING, HAPPENS, REPLACED, RESULT, STATUS, SYMPTOM, WORK, Atom
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import When
from proveout.text.node import Listing, Mapping, Node, Scalar

#: Unit of each numeric fact.
FACT_UNITS = {
    "vehicle.age": "y",
    "vehicle.mileage": "km",
    "frame.coolant": "degC",
    "frame.speed": "km/h",
    "frame.rpm": "rpm",
    "frame.load": "%",
    "frame.fuel_level": "%",
    "frame.short_trim": "%",
    "frame.long_trim": "%",
    "frame.intake_air": "degC",
}

_QUANTITY = re.compile(r"(-?[0-9.]+) ?(\S+)\Z")
_SIMPLE = {
    "symptom": (SYMPTOM, "present"),
    "happens": (HAPPENS, "present"),
    "finding": (FINDING, "true"),
    "recent_work": (WORK, "done"),
    "replaced": (REPLACED, "done"),
}


#: The parts of a condition of several.
_GROUPS = ("all", "any", "none")


class Parsed(Struct, frozen=True):
    """A whole condition with the predicates that it rests on."""

    when: When
    predicates: tuple[Predicate, ...] = ()


def parse_when(node: Node, problems: list[Problem]) -> Parsed:
    """Read a whole condition: a single one, or ``all``, ``any`` and ``none`` of several."""
    if not isinstance(node, Mapping):
        return Parsed(When())
    if not any(key.name in _GROUPS for key, _ in node.pairs):
        atoms, predicates = _both(parse_condition(node, problems))
        return Parsed(When(all_of=atoms), predicates)
    groups: dict[str, tuple[Atom, ...]] = {}
    found: list[Predicate] = []
    for name in _GROUPS:
        parts = [_both(parse_condition(part, problems)) for part in items(node.get(name))]
        # Among alternatives or exclusions a code with a status counts as its status, which implies the code.
        groups[name] = tuple(a for atoms, _ in parts for a in (atoms if name == "all" else atoms[-1:]))
        found += [predicate for _, predicates in parts for predicate in predicates]
    return Parsed(When(groups["all"], groups["any"], groups["none"]), tuple(dict.fromkeys(found)))


def parse_condition(node: Mapping, problems: list[Problem]) -> tuple[Atom | Predicate, ...]:
    """Read one condition: its atoms, or its one predicate.

    ``{code: X, status: s}`` gives two atoms, the code and its status; everything else gives one.
    """
    said = {key.name for key, _ in node.pairs}
    if "code" in said:
        code = Atom(CODE, word(node, "code"), "set")
        status = word(node, "status")
        return (code, Atom(STATUS, code.key, status)) if status else (code,)
    if "inspection" in said:
        return (Atom(RESULT, word(node, "inspection"), word(node, "result")),)
    for key, (kind, value) in _SIMPLE.items():
        if key in said:
            return (Atom(kind, word(node, key), value),)
    return (_predicate(node, problems),)


def fact_predicate(fact: str, op: str, threshold: float | str) -> Predicate:
    """Return the predicate of a fact, its atom in canonical text, such as ``vehicle.age at_least 12 y``."""
    if isinstance(threshold, str):
        text = " ".join(threshold.casefold().split())
        return Predicate(Atom(FACT, f"{fact} {op} {text}", "true"), fact, op, text=text)
    key = f"{fact} {op} {short(threshold)} {FACT_UNITS[fact]}"
    return Predicate(Atom(FACT, key, "true"), fact, op, number=threshold)


def short(number: float) -> str:
    """Write a number the shortest way that reads back the same: 12, not 12.0."""
    return str(int(number)) if number == int(number) else repr(float(number))


def word(node: Mapping, key: str) -> str:
    """Return the text under a key, or "" where there is none."""
    value = node.get(key)
    return value.text if isinstance(value, Scalar) else ""


def items(node: Node | None) -> tuple[Mapping, ...]:
    """Return the mappings in a list, or nothing where there is none."""
    return tuple(n for n in node.items if isinstance(n, Mapping)) if isinstance(node, Listing) else ()


def _both(parts: tuple[Atom | Predicate, ...]) -> tuple[tuple[Atom, ...], tuple[Predicate, ...]]:
    """Split into atoms and predicates; a predicate counts as its atom too."""
    atoms = tuple(part.atom if isinstance(part, Predicate) else part for part in parts)
    return atoms, tuple(part for part in parts if isinstance(part, Predicate))


def _predicate(node: Mapping, problems: list[Problem]) -> Predicate:
    """Read a condition on a vehicle or freeze-frame fact."""
    fact = word(node, "fact")
    if "is" in node:
        return fact_predicate(fact, "is", word(node, "is"))
    op = "at_least" if "at_least" in node else "below"
    text = word(node, op)
    match = _QUANTITY.match(text)
    unit = match[2].replace("degC", "C") if match else ""
    wanted = FACT_UNITS[fact]
    if unit != wanted.replace("degC", "C"):
        where = node.get(op)
        place = where.place if where else node.place
        problems.append(
            Problem(
                place, "fact-unit", f"'{text}' for {fact}", f"a number in {wanted}", f"write it in {wanted}"
            )
        )
    return fact_predicate(fact, op, float(match[1]) if match else 0.0)
