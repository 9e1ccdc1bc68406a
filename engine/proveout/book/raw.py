"""Entries as nodes: files split up and checked against their schemas, layers laid over each other."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingOf
from dataclasses import dataclass, field

from proveout.book.files import KINDS, Source
from proveout.model.problem import BadInputError, Place, Problem
from proveout.text.compose import compose
from proveout.text.node import Listing, Mapping, Scalar
from proveout.text.read import decode
from proveout.text.schema import validate_items


@dataclass(frozen=True, slots=True)
class RawEntry:
    """One entry as it stands in its file: kind, id, node and the layer it came from."""

    kind: str
    id: str
    node: Mapping
    layer: str

    @property
    def place(self) -> Place:
        """Where the entry begins."""
        return self.node.place


@dataclass(slots=True)
class RawBook:
    """All entries by kind and id, before anything is built from them.

    Attributes:
        entries: the sound ones, the layers laid over each other.
        declared: every id by kind, those of unsound entries included, so that one fault does not make
            every reference to it another.
        unread: kinds of which a file or an entry could not be read; what is missing there is not known.
    """

    entries: dict[str, dict[str, RawEntry]] = field(default_factory=lambda: {kind: {} for kind in KINDS})
    declared: dict[str, set[str]] = field(default_factory=lambda: {kind: set() for kind in KINDS})
    unread: set[str] = field(default_factory=set)
    whole: bool = True

    def of(self, kind: str) -> MappingOf[str, RawEntry]:
        """Give the entries of one kind by id."""
        return self.entries[kind]


def assemble(sources: Iterable[Source], problems: list[Problem], *, trusted: bool = False) -> RawBook:
    """Read all files, lowest layer first, into one book of nodes; complaints go to ``problems``.

    Args:
        sources: the files, lowest layer first.
        problems: where complaints go.
        trusted: the very same bytes were found clean before, so that the schemas need not be asked.
    """
    book = RawBook()
    for source in sources:
        for entry in _entries(source, book, problems, trusted=trusted):
            _lay_over(book, entry, problems)
    for kind in KINDS:
        book.entries[kind] = dict(sorted(book.entries[kind].items()))
    return book


def _entries(source: Source, book: RawBook, problems: list[Problem], *, trusted: bool) -> list[RawEntry]:
    """Split one file into its sound entries."""
    try:
        root = compose(decode(source.data, source.name), source.name)
    except BadInputError as error:
        problems.extend(error.problems)
        book.unread.add(source.kind)
        book.whole = False
        return []
    faults = () if trusted else validate_items(root, source.kind)
    problems.extend(problem for _, problem in faults)
    bad = {index for index, _ in faults}
    book.whole = book.whole and not bad
    found = []
    for index, node in enumerate(root.items if isinstance(root, Listing) else ()):
        name = node.get("id") if isinstance(node, Mapping) else None
        if not isinstance(node, Mapping) or not isinstance(name, Scalar):
            book.unread.add(source.kind)
            continue
        book.declared[source.kind].add(name.text)
        if index not in bad and None not in bad:
            found.append(RawEntry(source.kind, name.text, node, source.layer))
    return found


def _lay_over(book: RawBook, entry: RawEntry, problems: list[Problem]) -> None:
    """Add an entry, or put it in the place of the one of a lower layer that it names."""
    there = book.entries[entry.kind].get(entry.id)
    problem = _duplicate(entry, there) or _misplaced(entry, there)
    if problem is None:
        book.entries[entry.kind][entry.id] = entry
    else:
        problems.append(problem)


def _duplicate(entry: RawEntry, there: RawEntry | None) -> Problem | None:
    """Complain of an id that was there before."""
    if there is None or (there.layer != entry.layer and "replaces" in entry.node):
        return None
    mend = "remove or rename one of the two"
    if there.layer != entry.layer:
        mend = f"add 'replaces: {entry.id}' if it is to take the other's place, or rename it"
    saw = f"the id '{entry.id}' again (first at {there.place})"
    return Problem(entry.node.key_place("id"), "duplicate-id", saw, "an id of its own", mend)


def _misplaced(entry: RawEntry, there: RawEntry | None) -> Problem | None:
    """Complain of a ``replaces`` that does not fit."""
    replaced = entry.node.get("replaces")
    if not isinstance(replaced, Scalar):
        return None
    if replaced.text != entry.id:
        saw = f"'replaces: {replaced.text}' in the entry '{entry.id}'"
        return Problem(replaced.place, "replaces", saw, f"'replaces: {entry.id}'", "give both the same id")
    if there is None:
        saw = f"'replaces: {entry.id}', but no layer below has it"
        return Problem(replaced.place, "replaces", saw, "the id of an entry below", "remove 'replaces'")
    return None
