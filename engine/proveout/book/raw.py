"""Entries as nodes: files split up and checked against their schemas, layers laid over each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as MappingOf
from functools import lru_cache

from msgspec import Struct, field
from msgspec.structs import replace

from proveout.book.entry import RawEntry, id_of
from proveout.book.files import KINDS, Source
from proveout.book.former import Former
from proveout.book.groups import groups_named, unknown_group, with_members
from proveout.book.listed import kind_of, nameless
from proveout.book.named import TEXTS, Texts, texts_of
from proveout.book.patterns import Pattern, expansions, is_pattern
from proveout.book.remembered import remembered_with_problems
from proveout.book.rows import name_of, text_node
from proveout.book.seen_at import Said, SeenAt, unseen, with_said
from proveout.book.split import faults, pattern_of, split
from proveout.book.topic import ALL_SOURCES
from proveout.book.tree import BASE
from proveout.model.problem import BadInputError, Problem
from proveout.text.compose import compose
from proveout.text.node import Listing, Mapping, Node, Scalar
from proveout.text.read import decode
from proveout.text.schema import Path


class RawBook(Struct):
    """All entries by kind and id, before anything is built from them.

    Attributes:
        entries: the sound ones, the layers laid over each other.
        declared: every id by kind, those of unsound entries included, so that one fault does not make
            every reference to it another.
        unread: kinds of which a file or an entry could not be read; what is missing there is not known.
        former: names that entries had before.
        seen_at: frequencies that stand at causes.
        texts: sentences that several entries share, by name.
        patterns: circuits that uses are made from, by name.
    """

    entries: dict[str, dict[str, RawEntry]] = field(default_factory=lambda: {kind: {} for kind in KINDS})
    declared: dict[str, set[str]] = field(default_factory=lambda: {kind: set() for kind in KINDS})
    unread: set[str] = field(default_factory=set)
    whole: bool = True
    former: Former = field(default_factory=Former)
    seen_at: SeenAt = field(default_factory=SeenAt)
    texts: Texts = field(default_factory=lambda: Texts({}))
    patterns: dict[str, Pattern] = field(default_factory=dict)

    def of(self, kind: str) -> MappingOf[str, RawEntry]:
        """Return the entries of one kind by id."""
        return self.entries[kind]


def assemble(sources: Iterable[Source], problems: list[Problem], *, trusted: bool = False) -> RawBook:
    """Read all files, lowest layer first, into one book of nodes; complaints go to ``problems``.

    Args:
        sources: the files, lowest layer first.
        problems: where complaints go.
        trusted: the very same bytes were found clean before, so that the schemas need not be asked.
    """
    reading = _Reading(problems, trusted)
    files = [(source, root) for source in sources if (root := reading.root(source)) is not None]
    reading.book.texts = reading.texts(files)
    common = reading.all_sources(files)
    reading.book.patterns = patterns = reading.patterns(files, common)
    for source, root in files:
        if source.layer not in reading.book.seen_at.layers:
            reading.book.seen_at.layers.append(source.layer)
        own = common.get(source.layer)
        filled = [(part, _or_else(own, common.get(BASE))) for part in expansions(root, patterns, problems)]
        for part, rests_on in [(root, own), *filled]:
            for entry, rows in reading.entries(source, part, rests_on):
                if _lay_over(reading.book, entry, problems):
                    for row in rows:
                        _lay_over(reading.book, row, problems)
    book = reading.book
    book.entries["rules"] = _with_members(book, problems)
    for kind in KINDS:
        book.entries[kind] = dict(sorted(book.entries[kind].items()))
    return book


def _or_else(sources: Mapping | None, others: Mapping | None) -> Mapping | None:
    """Return the sources of a layer with those of the lowest one, whose pattern it may use, behind them."""
    if sources is None or others is None:
        return sources or others
    return Mapping((*sources.pairs, *(pair for pair in others if pair[0].name not in sources)), sources.place)


@lru_cache(maxsize=1000)
def _composed(data: bytes, name: str) -> Node:
    """Return what the bytes of a file say; who checks again after each change reads anew what was changed.

    Raises:
        BadInputError: they are not YAML as it is used here.
    """
    return compose(decode(data, name), name)


class _Reading:
    """Reads files into the entries of one book."""

    def __init__(self, problems: list[Problem], trusted: bool) -> None:
        self.book = RawBook()
        self._problems = problems
        self._trusted = trusted

    def root(self, source: Source) -> Node | None:
        """Return what a file says, or None where it cannot be read."""
        try:
            root = _composed(source.data, source.name)
        except BadInputError as error:
            self._problems.extend(error.problems)
            # Which sections it would have had is not known, unless its name tells.
            self.book.unread.update((kind_of(source.name),) if kind_of(source.name) else KINDS)
            self.book.whole = False
            return None
        if isinstance(root, Listing) and not kind_of(source.name):
            self._problems.append(nameless(root, source.name))
            self.book.whole = False
            return None
        return root

    def patterns(
        self, files: Iterable[tuple[Source, Node]], common: MappingOf[str, Mapping]
    ) -> dict[str, Pattern]:
        """Return the patterns among files by their ids; of two of one id the first counts."""
        found: dict[str, Pattern] = {}
        for source, root in files:
            if not isinstance(root, Mapping) or not is_pattern(root) or self._faults(root, "pattern"):
                continue
            texts = self.book.texts.of(root)
            pattern = pattern_of(root, self._problems, common.get(source.layer), texts)
            if pattern.id in found:
                saw = f"the pattern '{pattern.id}' again (first at {found[pattern.id].place})"
                place = root.key_place("pattern")
                self._problems.append(Problem(place, "duplicate-id", saw, "an id of its own", "rename it"))
            found.setdefault(pattern.id, pattern)
        return found

    def all_sources(self, files: Iterable[tuple[Source, Node]]) -> dict[str, Mapping]:
        """Return by layer the sources that one of its files states for all of them; a second is refused."""
        found: dict[str, Mapping] = {}
        for source, root in files:
            said = root.get(ALL_SOURCES) if isinstance(root, Mapping) else None
            if not isinstance(said, Mapping) or not isinstance(root, Mapping):
                continue
            if source.layer in found:
                saw = f"'{ALL_SOURCES}' again (first at {found[source.layer].place})"
                place, mend = root.key_place(ALL_SOURCES), "put it into one file"
                self._problems.append(Problem(place, "stated-twice", saw, "one for all files", mend))
            found.setdefault(source.layer, said)
        return found

    def texts(self, files: Iterable[tuple[Source, Node]]) -> Texts:
        """Return the named texts of all files, those of higher layers in the place of what they replace."""
        found: dict[str, RawEntry] = {}
        for source, root in files:
            for node in texts_of(root):
                entry = RawEntry(TEXTS, str(id_of(node)), node, source.layer)
                there = found.get(entry.id)
                problem = _duplicate(entry, there) or _misplaced(entry, there)
                if problem is None:
                    found[entry.id] = entry
                else:
                    self._problems.append(problem)
        return Texts({name: entry.node for name, entry in sorted(found.items())})

    def _faults(self, root: Node, schema: str) -> frozenset[Path]:
        """Complain of what does not fit a schema, and return where."""
        found = () if self._trusted else faults(root, schema)
        self._problems.extend(problem for _, problem in found)
        self.book.whole = self.book.whole and not found
        return frozenset(path for path, _ in found)

    def entries(
        self, source: Source, root: Node, common: Mapping | None
    ) -> Iterator[tuple[RawEntry, tuple[RawEntry, ...]]]:
        """Return the sound entries of one file, or of what a pattern gave, each with its rows."""
        if is_pattern(root):
            return
        book, kind = self.book, kind_of(source.name) if isinstance(root, Listing) else ""
        bad = self._faults(root, kind or "book")
        found = split(root, self._problems, kind, source.layer, common, book.texts.of(root), bad)
        book.unread |= found.unread
        for section, name in found.declared:
            book.declared[section].add(name)
        for name, node in found.codes:
            book.seen_at.pair(name, node)
        yield from found.entries


def _with_members(book: RawBook, problems: list[Problem]) -> dict[str, RawEntry]:
    """Return the rules with what causes say of them, and with the causes of each group in its place."""
    if not {"rules", "inspections", "codes", "symptoms", "findings", "circumstances"} & book.unread:
        problems += book.seen_at.strangers({name: one.node for name, one in book.entries["rules"].items()})
    groups = {name: entry.node for name, entry in book.entries["groups"].items()}
    causes_known = "causes" not in book.unread
    rules = {}
    for name, entry in book.entries["rules"].items():
        named = groups_named(entry.node)
        if "groups" not in book.unread:
            problems += [unknown_group(key, groups) for key in named if key.name not in groups]
        used = tuple((key.name, groups[key.name]) for key in named if key.name in groups)
        said = book.seen_at.of(name, entry.layer)
        rules[name] = _full(entry, problems, said, used, causes_known)
    return rules


@remembered_with_problems
def _full(
    entry: RawEntry,
    problems: list[Problem],
    said: Said,
    groups: tuple[tuple[str, Mapping], ...],
    causes_known: bool,
) -> RawEntry:
    """Return a rule with what causes say of it and with the causes of the groups that it names."""
    node = with_said(entry.node, problems, said)
    if causes_known:
        problems += unseen(entry.id, node)
    node = with_members(node, dict(groups))
    return entry if node is entry.node else replace(entry, node=node)


def _lay_over(book: RawBook, entry: RawEntry, problems: list[Problem]) -> bool:
    """Add an entry, or put it in the place of the one of a lower layer that it names; say if it could."""
    if entry.layer != BASE:
        node = book.former.today(entry.kind, entry.node)
        entry = replace(entry, id=str(id_of(node)), node=node)
    entry = _in_place_of_row(book, entry)
    there = book.entries[entry.kind].get(entry.id)
    problem = _duplicate(entry, there) or _misplaced(entry, there)
    if problem is not None:
        problems.append(problem)
        return False
    book.entries[entry.kind][entry.id] = entry
    book.former.learn(entry.kind, entry.id, entry.node)
    if entry.kind == "causes":
        book.seen_at.learn(entry.id, entry.node, entry.layer)
    return True


def _in_place_of_row(book: RawBook, entry: RawEntry) -> RawEntry:
    """Return a rule that replaces one which has since become a row, by that row's id."""
    known = book.entries["rules"]
    if entry.kind != "rules" or "replaces" not in entry.node or entry.id in known:
        return entry
    name = name_of(entry.node.get("when"))
    if name not in known:
        return entry
    pairs = tuple(
        (key, text_node(name, value) if key.name in ("id", "replaces") and _is(value, entry.id) else value)
        for key, value in entry.node
    )
    return replace(entry, id=name, node=Mapping(pairs, entry.node.place))


def _is(node: Node, text: str) -> bool:
    """Say whether a node is this text."""
    return isinstance(node, Scalar) and node.text == text


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
    if there is None and not entry.row:
        saw = f"'replaces: {entry.id}', but no layer below has it"
        mend = "remove 'replaces'"
        if entry.kind == "rules":
            mend = "give the id of a rule or a row, such as code:P0442 or INSPECTION=RESULT"
        return Problem(replaced.place, "replaces", saw, "the id of an entry below", mend)
    return None
