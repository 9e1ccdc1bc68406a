"""Circuits made from a pattern: a topic written once with parameters, filled in where a circuit uses it.

A pattern is a rule file with ``pattern: ID`` at its head, ``takes:`` naming its parameters, and sections as
in any topic. A use says which pattern, ``as:`` what its entries are called by, and each
parameter's value:

    uses:
      - pattern: ground-switched-solenoid
        as: purge-valve
        say: purge valve
        at: [engine-bay]
        rates: {coil-open: 3 per 1000}           # base rates of its causes
        ids: {coil-resistance: purge-valve-ohms} # an id that is in people's records already
        seen_at: {coil-open: {symptom:stalls: 0.1}}  # what its causes are seen with elsewhere
        formerly: {coil-resistance: [purge-ohms]}
        results_formerly: {feed: {no-feed: missing}}  # both as in an entry
        without: [vacuum-hose]                        # entries that this circuit does not have
        differs:                                      # what is otherwise here, each with its reason
          coil-resistance: {reading: {limits: {good: 20..60, ...}}, because: ...}

Entries of a pattern are named by what follows ``{as}-`` in their ids. One that is left out is named nowhere
else in the use, and a list or group that it empties goes too; left out and given an id under ``ids``, it
stands elsewhere by that id, and rows go on naming it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from collections.abc import Mapping as MappingOf

from msgspec.structs import replace

from proveout.book.fields import inner
from proveout.book.remembered import remembered_with_problems
from proveout.model.problem import Place, Problem
from proveout.text.near import did_you_mean, one_of
from proveout.text.node import Key, Listing, Mapping, Node, Scalar

#: Keys of a pattern file that are no sections.
HEAD = ("pattern", "takes", "texts")
#: Keys of a use that are no parameters.
RESERVED = (
    "pattern",
    "as",
    "rates",
    "seen_at",
    "ids",
    "formerly",
    "results_formerly",
    "without",
    "fits",
    "not_for",
    "differs",
)

_HOLE = re.compile(r"\{([a-z][a-z0-9_-]*)\}")


class Pattern:
    """A pattern file: its parameters and sections.

    Args:
        root: the file.
        common: the sources that its layer states for all files; they go with it wherever it is used.
    """

    def __init__(self, root: Mapping, common: Mapping | None = None) -> None:
        self.id = _text(root, "pattern")
        self.place = root.place
        self.takes = {key.name: value for key, value in inner(root, "takes")}
        sections = Mapping(tuple((k, v) for k, v in root if k.name not in HEAD), root.place)
        stated = Mapping(((Key("sources", common.place), common),), common.place) if common else None
        self.sections = _merged(stated, sections) if stated else sections
        #: Names of its entries: what follows ``{as}-`` in their ids.
        self.names = tuple(name for _, node in _entries(self.sections) if (name := _local(node)))


def has_default(how: Node) -> bool:
    """Say whether a parameter, as it stands under ``takes``, has a value where a use gives none."""
    return isinstance(how, Mapping) and how.get("default") is not None


def is_pattern(root: Node) -> bool:
    """Say whether a rule file is a pattern."""
    return isinstance(root, Mapping) and "pattern" in root


def expansions(root: Node, patterns: MappingOf[str, Pattern], problems: list[Problem]) -> list[Mapping]:
    """Return the topics that the uses of a rule file stand for; complaints go to ``problems``."""
    uses = root.get("uses") if isinstance(root, Mapping) and not is_pattern(root) else None
    made = (expand(use, patterns, problems) for use in _items(uses) if isinstance(use, Mapping))
    return [topic for topic in made if topic is not None]


def expand(use: Mapping, patterns: MappingOf[str, Pattern], problems: list[Problem]) -> Mapping | None:
    """Return the topic that a use stands for, or None where it cannot be made; complaints go to ``problems``.

    Every node of it has the pattern's line and names the use beside it, so that a message shows both.
    """
    wanted = use.get("pattern")
    name = _text(use, "pattern")
    pattern = patterns.get(name)
    if pattern is None or wanted is None:
        mend = did_you_mean(name, patterns) or "write the pattern first"
        place = wanted.place if wanted else use.place
        problems.append(
            Problem(place, "pattern-unknown", f"the pattern '{name}'", one_of(patterns, 20), mend)
        )
        return None
    return _filled_in(use, problems, pattern)


@remembered_with_problems
def _filled_in(use: Mapping, problems: list[Problem], pattern: Pattern) -> Mapping | None:
    values = _values(use, pattern, problems)
    problems.extend(_strangers(use, pattern))
    return None if problems else _Filling(use, pattern, values).topic()


def _values(use: Mapping, pattern: Pattern, problems: list[Problem]) -> dict[str, Node]:
    """Return the value of each parameter, its default where the use has none."""
    values: dict[str, Node] = {}
    for name, how in (*pattern.takes.items(), ("as", Mapping((), use.place))):
        value = use.get(name) or (how.get("default") if isinstance(how, Mapping) else None)
        if value is None:
            saw, mend = f"a use of '{pattern.id}' without '{name}'", f"add '{name}: ...'"
            problems.append(Problem(use.place, "pattern-value", saw, f"a value for '{name}'", mend))
        else:
            values[name] = value
    return values


def _strangers(use: Mapping, pattern: Pattern) -> Iterator[Problem]:
    """Complain of keys and entries that the pattern does not know, and of differences without a reason."""
    known = (*RESERVED, *pattern.takes)
    for key, _ in use:
        if key.name not in known:
            mend = did_you_mean(key.name, known)
            yield Problem(key.place, "pattern-value", f"'{key.name}'", one_of(sorted(known), 20), mend)
    words = ("rates", "seen_at", "ids", "formerly", "results_formerly", "differs")
    named = [key for word in words for key, _ in inner(use, word)]
    named += [Key(item.text, item.place) for item in _items(use.get("without")) if isinstance(item, Scalar)]
    for key in named:
        if key.name not in pattern.names:
            saw = f"'{key.name}', which the pattern '{pattern.id}' does not have"
            mend = did_you_mean(key.name, pattern.names)
            yield Problem(key.place, "pattern-entry", saw, one_of(sorted(set(pattern.names)), 20), mend)
    for key, value in inner(use, "differs"):
        if not isinstance(value, Mapping) or "because" not in value:
            saw, mend = f"'{key.name}' differs without a reason", "add 'because: ...'"
            yield Problem(key.place, "pattern-reason", saw, "'because' beside what differs", mend)


class _Filling:
    """Fills one use's values into a pattern."""

    def __init__(self, use: Mapping, pattern: Pattern, values: MappingOf[str, Node]) -> None:
        self._pattern = pattern
        self._values = values
        self._at = str(use.place)
        self._as = _text(use, "as")
        self._ids = {f"{self._as}-{key.name}": _shown(node) for key, node in inner(use, "ids")}
        self._out = {_shown(item) for item in _items(use.get("without"))}
        #: Ids that the use names no longer; one that it gives under ``ids`` stands elsewhere.
        self._gone = {f"{self._as}-{name}" for name in self._out} - self._ids.keys()
        #: What is laid over an entry: its key to what the use says of it, by the pattern's names.
        self._laid = {
            "base_rate": inner(use, "rates"),
            "seen_at": inner(use, "seen_at"),
            "formerly": inner(use, "formerly"),
            "results_formerly": inner(use, "results_formerly"),
        }
        self._differs = inner(use, "differs")
        #: Vehicles that alone have the circuit, or that cannot have it.
        only_for = tuple((key, value) for key, value in use if key.name in ("fits", "not_for"))
        self._only_for = Mapping(only_for, use.place)

    def topic(self) -> Mapping:
        """Return the sections, filled in."""
        return Mapping(
            tuple((key, self._section(key.name, node)) for key, node in self._pattern.sections),
            self._there(self._pattern.place),
        )

    def _section(self, name: str, node: Node) -> Node:
        if not isinstance(node, Listing):
            return self._filled(node)
        kept = [item for item in node.items if _local(item) not in self._out]
        entries = (self._entry(item) for item in kept)
        if name in ("causes", "inspections"):
            entries = (_merged(e, self._only_for) if isinstance(e, Mapping) else e for e in entries)
        return Listing(tuple(e for e in entries if not _emptied_group(e)), self._there(node.place))

    def _entry(self, node: Node) -> Node:
        """Fill in an entry, with its rate and what differs here."""
        filled = self._filled(node)
        if not isinstance(filled, Mapping):
            return filled
        name = _local(node)
        for word, said in self._laid.items():
            value = said.get(name)
            if value is not None:
                filled = _merged(filled, Mapping(((Key(word, value.place), value),), value.place))
        differs = self._differs.get(name)
        if isinstance(differs, Mapping):
            own = Mapping(tuple((k, v) for k, v in differs if k.name != "because"), differs.place)
            filled = _merged(filled, own)
        return filled

    def _filled(self, node: Node) -> Node:
        if isinstance(node, Scalar):
            return self._scalar(node)
        if isinstance(node, Listing):
            return Listing(tuple(self._list_items(node)), self._there(node.place))
        pairs = ((self._key(key), self._filled(value)) for key, value in node)
        # A list of which the use leaves nothing goes too: a result that shows no cause, say.
        kept = (pair for pair in pairs if pair[0].name not in self._gone and not _is_empty_list(pair[1]))
        return Mapping(tuple(kept), self._there(node.place))

    def _list_items(self, node: Listing) -> Iterator[Node]:
        """Fill in the items of a list; a parameter that is a list itself gives all its items."""
        for item in node.items:
            filled = self._filled(item)
            if isinstance(item, Scalar) and isinstance(filled, Listing):
                yield from filled.items
            elif not (isinstance(filled, Scalar) and filled.text in self._gone):
                yield filled

    def _scalar(self, node: Scalar) -> Node:
        whole = _HOLE.fullmatch(node.text)
        if whole and whole[1] in self._values:
            return self._values[whole[1]]
        text = self._text(node.text)
        if text == node.text:
            return Scalar(node.value, text, self._there(node.place))
        return Scalar(text, text, self._there(node.place))

    def _key(self, key: Key) -> Key:
        return Key(self._text(key.name), self._there(key.place))

    def _text(self, text: str) -> str:
        """Fill values into a text; an id that the use renames is renamed wherever it stands alone."""
        filled = _HOLE.sub(lambda hole: _shown(self._values.get(hole[1])) or hole[0], text)
        name, mark, rest = filled.partition("=") if "=" in filled else (filled, "", "")
        return self._ids.get(name, name) + mark + rest

    def _there(self, place: Place) -> Place:
        return replace(place, used_at=self._at)


def _merged(under: Mapping, over: Mapping) -> Mapping:
    """Lay one mapping over another: mappings within are merged, everything else is replaced."""
    found: dict[str, tuple[Key, Node]] = {key.name: (key, value) for key, value in under}
    for key, value in over:
        there = found.get(key.name)
        if there and isinstance(there[1], Mapping) and isinstance(value, Mapping):
            value = _merged(there[1], value)
        found[key.name] = (key, value)
    return Mapping(tuple(found.values()), under.place)


def _entries(sections: Mapping) -> Iterator[tuple[str, Node]]:
    for key, section in sections:
        for item in _items(section):
            yield key.name, item


def _is_empty_list(node: Node) -> bool:
    return isinstance(node, Listing) and not node.items


def _emptied_group(node: Node) -> bool:
    """Say whether an entry is a group of which the use leaves no cause."""
    return isinstance(node, Mapping) and "." in _text(node, "id") and "causes" not in node


def _local(node: Node) -> str:
    """Return what a pattern's entry is called within it, or "" where it is not named after the use."""
    name = _text(node, "id") if isinstance(node, Mapping) else ""
    return name.removeprefix("{as}-") if name.startswith("{as}-") else ""


def _text(node: Mapping, key: str) -> str:
    return _shown(node.get(key))


def _shown(node: Node | None) -> str:
    return node.text if isinstance(node, Scalar) else ""


def _items(node: Node | None) -> Iterable[Node]:
    return node.items if isinstance(node, Listing) else ()
