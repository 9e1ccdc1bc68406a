"""Where entries of the book are named: links to them, and the lists of what uses them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from proveout.intake.called import fact_said
from proveout.model.atom import CODE, FACT, FINDING, HAPPENS, REPLACED, RESULT, STATUS, SYMPTOM, WORK, Atom
from proveout.model.book import Book
from proveout.model.rule import Rule
from proveout.show.docs.leaf import Line, named, page_of
from proveout.show.entry import catalogue

#: Kinds of atom to the kinds of entry that they name.
_KINDS = {
    CODE: "codes",
    STATUS: "codes",
    SYMPTOM: "symptoms",
    HAPPENS: "circumstances",
    WORK: "recent-work",
    REPLACED: "components",
    RESULT: "inspections",
    FINDING: "findings",
}
#: An entry by kind and id.
Entry = tuple[str, str]


class Links(Struct, frozen=True):
    """The titles of a book's entries by kind and id, and what uses each."""

    titles: Mapping[str, Mapping[str, str]]
    users: Mapping[Entry, tuple[Line, ...]]

    def to(self, kind: str, entry: str, after: str = "") -> Line:
        """Return a link to an entry by its title; the bare id where it has no page."""
        title = self.titles.get(kind, {}).get(entry)
        shown = f"{entry}: {title}" if kind == "codes" and title else title or entry
        return Line(shown, page_of(kind, entry) if title is not None else "", after)

    def all(self, kind: str, entries: Iterable[str]) -> tuple[Line, ...]:
        """Return links to several entries of one kind."""
        return tuple(self.to(kind, entry) for entry in entries)

    def used(self, kind: str, entry: str) -> tuple[Line, ...]:
        """Return links to what uses an entry."""
        return self.users.get((kind, entry), ())

    def fact(self, atom: Atom) -> Line:
        """Return a link to what a condition asks for, with the result or status."""
        kind = _KINDS.get(atom.kind)
        if kind is None:
            return Line(fact_said(atom.key) if atom.kind == FACT else f"{atom.kind} {atom.key}")
        value = "" if atom.value in ("set", "present", "true", "done") else f": {atom.value}"
        return self.to(kind, atom.key, value)


def links_of(book: Book) -> Links:
    """Return the links of a book."""
    titles: dict[str, Mapping[str, str]] = {**catalogue(book)}
    titles["driving-on"] = {one.id: _driving_title(one.id) for one in book.driving}
    del titles["rules"]
    plain = Links(titles, {})
    found: dict[Entry, dict[Line, None]] = {}
    for entry, user in _uses(book, plain):
        found.setdefault(entry, {})[user] = None
    return Links(titles, {entry: tuple(users) for entry, users in found.items()})


def _driving_title(entry: str) -> str:
    return f"Driving on: {entry}"


def home_of(rule: Rule) -> Entry:
    """Return the entry on whose page a rule stands: what it observes, or the finding that it concludes."""
    if rule.observes is not None:
        return _KINDS[rule.observes.kind], rule.observes.key
    return "findings", rule.concludes or ""


def rule_line(rule: Rule, after: str = "") -> Line:
    """Return a link to a rule."""
    return Line(rule.id, f"{page_of(*home_of(rule))}#{named(rule.id)}", after)


def _uses(book: Book, links: Links) -> Iterator[tuple[Entry, Line]]:
    """Return each use of an entry with a link to what uses it."""
    for rule in book.rules.values():
        for atom in sorted(rule.context):
            if atom.kind in _KINDS:
                yield (_KINDS[atom.kind], atom.key), rule_line(rule)
    for one in book.driving:
        user = links.to("driving-on", one.id)
        yield from ((entry, user) for entry in _in_conditions(one.when.atoms))
        yield from ((("cautions", caution), user) for caution in one.cautions)
    for figures in book.own_figures:
        yield ("inspections", figures.inspection), links.to("own-figures", figures.id)
    for code in book.words.codes.values():
        yield from ((("codes", other), links.to("codes", code.id)) for other in code.usually_with)
    for access in book.words.access.values():
        yield from ((("cautions", one), links.to("access", access.id)) for one in access.cautions)
    for term in book.words.warranties.values():
        yield from ((("components", one), links.to("warranties", term.id)) for one in term.components)
    for spot in book.words.places.values():
        user = links.to("places", spot.id)
        kinds = {"components": spot.components, "access": spot.access}
        yield from (((kind, one), user) for kind, named in kinds.items() for one in named)
    yield from _by_causes(book, links)
    yield from _by_inspections(book, links)


def _by_causes(book: Book, links: Links) -> Iterator[tuple[Entry, Line]]:
    for cause in book.causes.values():
        user = links.to("causes", cause.id)
        yield ("components", cause.component), user
        named_by = {"access": cause.remedy.access, "cautions": cause.remedy.cautions}
        for kind, entries in named_by.items():
            yield from (((kind, entry), user) for entry in entries)
        before = links.to("causes", cause.id, " asks for it before buying")
        yield from ((("inspections", entry), before) for entry in cause.before_buying)
        for factor in cause.factors:
            yield from ((entry, user) for entry in _in_conditions(factor.when.atoms))


def _by_inspections(book: Book, links: Links) -> Iterator[tuple[Entry, Line]]:
    for inspection in book.inspections.values():
        user = links.to("inspections", inspection.id)
        kinds = {"tools": inspection.tools, "access": inspection.access, "cautions": inspection.cautions}
        for kind, entries in kinds.items():
            yield from (((kind, entry), user) for entry in entries)
        later = links.to("inspections", inspection.id, " comes after it")
        yield from ((("inspections", entry), later) for entry in inspection.after)


def _in_conditions(atoms: Iterable[Atom]) -> Iterator[Entry]:
    return ((_KINDS[atom.kind], atom.key) for atom in atoms if atom.kind in _KINDS)
