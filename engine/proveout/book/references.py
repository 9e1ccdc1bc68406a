"""What each entry refers to, with the place of every reference."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from msgspec import Struct

from proveout.book.conditions import items, word
from proveout.book.entry import RawEntry
from proveout.book.fields import inner
from proveout.model.atom import CANNOT_TELL
from proveout.model.problem import Place
from proveout.text.node import Listing, Mapping, Node, Scalar

#: Kind of a reference to one result of an inspection; its id is ``inspection/result``.
RESULTS = "results"

#: Ways of referring: in a condition, as what a rule concludes or weighs, in an example, as where it stands,
#: or otherwise.
CONDITION, CONCLUDES, WEIGHS, EXAMPLE, PART, USUAL, STANDS = (
    "condition",
    "concludes",
    "weighs",
    "example",
    "part",
    "usual",
    "stands",
)


class Reference(Struct, frozen=True, gc=False):
    """A reference from one entry to another: kind and id referred to, in which way, and where."""

    kind: str
    id: str
    way: str
    place: Place


_CONDITION_KINDS = {
    "code": "codes",
    "symptom": "symptoms",
    "happens": "circumstances",
    "inspection": "inspections",
    "finding": "findings",
    "recent_work": "recent-work",
    "replaced": "components",
}
_INSPECTION_KINDS = {"tools": "tools", "access": "access", "cautions": "cautions", "after": "inspections"}
_EXAMPLE_KINDS = {
    "symptoms": "symptoms",
    "symptoms_absent": "symptoms",
    "happens_when": "circumstances",
    "recent_work": "recent-work",
    "replaced": "components",
    "tools": "tools",
}


def references(entry: RawEntry) -> Iterator[Reference]:
    """Return every reference in an entry."""
    if entry.kind == "inspections":
        return _of_inspection(entry.id, entry.node)
    found = _IN_ENTRY.get(entry.kind)
    return found(entry.node) if found else iter(())


def _of_place(node: Mapping) -> Iterator[Reference]:
    yield from _listed(node, "components", "components", STANDS)
    yield from _listed(node, "access", "access", STANDS)


def _of_cause(node: Mapping) -> Iterator[Reference]:
    yield from _single(node, "component", "components")
    yield from _listed(node, "before_buying", "inspections")
    remedy = inner(node, "remedy")
    yield from _listed(remedy, "access", "access")
    yield from _listed(remedy, "cautions", "cautions")
    for part in items(node.get("more_likely_when")):
        yield from _of_when(part)


def _of_inspection(name: str, node: Mapping) -> Iterator[Reference]:
    for key, kind in (
        ("tools", "tools"),
        ("access", "access"),
        ("cautions", "cautions"),
        ("after", "inspections"),
        ("safety_limits", "safety-limits"),
    ):
        yield from _listed(node, key, kind)
    for cause, value in inner(node, "proves"):
        yield Reference("causes", cause.name, PART, cause.place)
        yield from _results(name, value)
    reading = inner(node, "reading")
    for result, _ in inner(reading, "limits"):
        yield Reference(RESULTS, f"{name}/{result.name}", PART, result.place)
    for _, value in inner(inner(reading, "series"), "classes"):
        yield from _results(name, value)


def _of_driving(node: Mapping) -> Iterator[Reference]:
    when = node.get("when")
    if isinstance(when, Mapping):
        yield from _of_when(when)
    yield from _listed(node, "cautions", "cautions")


def _of_own_figures(node: Mapping) -> Iterator[Reference]:
    yield from _single(node, "inspection", "inspections")
    for result, _ in inner(node, "limits"):
        yield Reference(RESULTS, f"{word(node, 'inspection')}/{result.name}", PART, result.place)


def _results(name: str, node: Node) -> Iterator[Reference]:
    """Return references to results of the inspection ``name`` out of a list or a single one."""
    for item in node.items if isinstance(node, Listing) else (node,):
        if isinstance(item, Scalar):
            yield Reference(RESULTS, f"{name}/{item.text}", PART, item.place)


def _of_rule(node: Mapping) -> Iterator[Reference]:
    when = node.get("when")
    if isinstance(when, Mapping):
        yield from _of_when(when)
    yield from _single(node, "conclude", "findings", CONCLUDES)
    for key, _ in inner(node, "weigh"):
        yield Reference("causes", key.name, WEIGHS, key.place)
    examples = inner(node, "examples")
    for part in (*items(examples.get("fires")), *items(examples.get("silent"))):
        yield from _of_example(part)


def _of_when(node: Mapping) -> Iterator[Reference]:
    """Return the references of a whole condition."""
    yield from _of_condition(node)
    for name in ("all", "any", "none"):
        for part in items(node.get(name)):
            yield from _of_condition(part)


def _of_condition(node: Mapping) -> Iterator[Reference]:
    # Only what stands there is looked at: most conditions have one key, and a book has many thousands.
    for key, value in node:
        kind = _CONDITION_KINDS.get(key.name)
        if kind and isinstance(value, Scalar):
            yield Reference(kind, value.text, CONDITION, value.place)
        elif key.name == "result" and isinstance(value, Scalar) and "inspection" in node:
            yield Reference(RESULTS, f"{word(node, 'inspection')}/{value.text}", CONDITION, value.place)


def _of_example(node: Mapping) -> Iterator[Reference]:
    for field, _ in node:
        if field.name in _EXAMPLE_KINDS:
            yield from _listed(node, field.name, _EXAMPLE_KINDS[field.name], EXAMPLE)
    for key, value in inner(node, "results"):
        yield Reference("inspections", key.name, EXAMPLE, key.place)
        yield from _example_result(key.name, value)
    for part in items(node.get("readings")):
        yield from _single(part, "inspection", "inspections", EXAMPLE)
        yield from _example_result(word(part, "inspection"), part.get("result"))


def _example_result(inspection: str, node: Node | None) -> Iterator[Reference]:
    if isinstance(node, Scalar) and node.text != CANNOT_TELL:
        yield Reference(RESULTS, f"{inspection}/{node.text}", EXAMPLE, node.place)


def _single(node: Mapping, key: str, kind: str, way: str = PART) -> Iterator[Reference]:
    """Return the reference under a key, if there is one."""
    value = node.get(key)
    if isinstance(value, Scalar):
        yield Reference(kind, value.text, way, value.place)


def _listed(node: Mapping, key: str, kind: str, way: str = PART) -> Iterator[Reference]:
    """Return the references in the list under a key."""
    value = node.get(key)
    for item in value.items if isinstance(value, Listing) else ():
        if isinstance(item, Scalar):
            yield Reference(kind, item.text, way, item.place)


#: How the references in an entry are found, by its kind.
_IN_ENTRY: dict[str, Callable[[Mapping], Iterator[Reference]]] = {
    "causes": _of_cause,
    "rules": _of_rule,
    "driving-on": _of_driving,
    "own-figures": _of_own_figures,
    "groups": partial(_listed, key="causes", kind="causes"),
    "warranties": partial(_listed, key="components", kind="components"),
    "places": _of_place,
    "access": partial(_listed, key="cautions", kind="cautions"),
    "codes": partial(_listed, key="usually_with", kind="codes", way=USUAL),
}
