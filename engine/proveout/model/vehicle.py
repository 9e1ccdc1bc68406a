"""Kinds of vehicle: what one has or is, where that decides what can be wrong or can be inspected."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

#: Kinds of which a vehicle has one at most: to have one is to lack the others.
EXCLUSIVE = (
    frozenset({"petrol", "diesel"}),
    frozenset({"automatic", "manual"}),
    frozenset({"distributor", "coil-per-plug"}),
    frozenset({"in-line-engine", "v-engine"}),
)
#: Every kind that an entry can fit or not fit, and that an intake can state.
KINDS = tuple(
    sorted(
        {
            *frozenset().union(*EXCLUSIVE),
            "hybrid",
            "turbo",
            "direct-injection",
            "air-flow-sensor",
            "stop-start",
        }
    )
)

#: What those of a kind are called.
NAMES: Mapping[str, str] = {
    "petrol": "petrol (gasoline) engines",
    "diesel": "diesels",
    "automatic": "automatic gearboxes",
    "manual": "manual gearboxes",
    "distributor": "ignitions with a distributor",
    "coil-per-plug": "ignitions with a coil on each plug",
    "in-line-engine": "engines with all cylinders in one line",
    "v-engine": "engines with two banks of cylinders",
    "hybrid": "hybrids",
    "turbo": "engines with a turbocharger",
    "direct-injection": "petrol engines with direct injection",
    "air-flow-sensor": "engines with an air-flow sensor",
    "stop-start": "engines that stop and start by themselves",
}


def only_for(fits: Iterable[str], not_for: Iterable[str]) -> str:
    """Return in words what an entry alone fits and what it does not fit; nothing where it fits all.

    Args:
        fits: kinds of which a vehicle needs all.
        not_for: kinds of which it needs none.
    """
    needed, barred = [NAMES[kind] for kind in fits], [NAMES[kind] for kind in not_for]
    told = [f"Only for {' that are also '.join(needed)}."] if needed else []
    told += [f"Not for {', nor for '.join(barred)}."] if barred else []
    return " ".join(told)


def excluded_by(has: Iterable[str]) -> frozenset[str]:
    """Return the kinds that a vehicle lacks because of those that it has."""
    held = frozenset(has)
    return frozenset().union(*(group for group in EXCLUSIVE if group & held)) - held


#: What is asked about each kind, or once for those that exclude each other.
QUESTIONS: Mapping[tuple[str, ...], str] = {
    ("petrol", "diesel"): "Does it run on petrol or on diesel?",
    ("automatic", "manual"): "Is its gearbox an automatic or a manual one?",
    ("distributor", "coil-per-plug"): "Does its ignition have a distributor, or a coil on each plug?",
    ("in-line-engine", "v-engine"): "Are its cylinders in one line, or in two banks?",
    ("hybrid",): "Is it a hybrid?",
    ("turbo",): "Does the engine have a turbocharger?",
    ("direct-injection",): "Is it a petrol engine with direct injection?",
    ("air-flow-sensor",): "Does it have an air-flow sensor, in the duct behind the air filter?",
    ("stop-start",): "Does the engine stop and start by itself?",
}
#: Share of the vehicles of each kind in a workshop (from memory).
SHARES: Mapping[str, float] = {
    "petrol": 0.8,
    "diesel": 0.2,
    "automatic": 0.4,
    "manual": 0.6,
    "distributor": 0.1,
    "coil-per-plug": 0.6,
    "in-line-engine": 0.75,
    "v-engine": 0.25,
    "hybrid": 0.08,
    "turbo": 0.3,
    "direct-injection": 0.3,
    "air-flow-sensor": 0.7,
    "stop-start": 0.3,
}
