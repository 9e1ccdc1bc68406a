"""YAML text to located nodes, refusing what a rule or case file has no use for.

Nodes are built from libyaml's events, one after the other and without recursion, so that the limits on
depth and number of nodes are kept before anything is built from them and no nesting can exhaust the stack.
Anchors and aliases are refused outright: with them a few hundred bytes unfold without end in validation.
"""

from __future__ import annotations

from typing import Any

import yaml
from msgspec.structs import replace

from proveout.model.problem import BadInputError, Place, Problem
from proveout.text.near import show
from proveout.text.node import Key, Listing, Mapping, Node, Scalar, ScalarValue
from proveout.text.scalars import resolve

#: Deepest nesting of lists and mappings.
MAX_DEPTH = 40
#: Most nodes in one file: scalars, lists and mappings together.
MAX_NODES = 200_000

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def compose(text: str, file: str) -> Node:
    """Turn a text that holds one YAML document into its root node; an empty text gives a null scalar.

    Args:
        text: the YAML text.
        file: its name, for places.

    Raises:
        BadInputError: not YAML, or YAML that is refused; every refusal in the text is reported.
    """
    roots = _compose_all(text, file)
    if len(roots) > 1:
        saw = "a second document in one file"
        raise BadInputError(Problem(roots[1].place, "yaml-documents", saw, "one document", "remove the ---"))
    return roots[0] if roots else Scalar(None, "", Place(file, 1, 1))


def compose_stream(text: str, file: str) -> tuple[Node, ...]:
    """Turn a text of any number of YAML documents into their root nodes.

    Raises:
        BadInputError: as for ``compose``.
    """
    return _compose_all(text, file)


def _compose_all(text: str, file: str) -> tuple[Node, ...]:
    """Run the events of the whole text through a builder."""
    builder = _Builder(file)
    try:
        text.encode("utf-8")
        for event in yaml.parse(text.removeprefix("\ufeff"), Loader=_LOADER):
            builder.take(event)
    except UnicodeEncodeError as error:
        raise BadInputError(_surrogate(text, error, file)) from None
    except yaml.YAMLError as error:
        raise BadInputError(*builder.told(), _broken(error, text, file, builder.quoted)) from None
    if builder.problems:
        raise BadInputError(*builder.told())
    return tuple(builder.roots)


class _Open:
    """A list or mapping whose end has not been seen yet."""

    __slots__ = ("is_map", "items", "key", "pairs", "place", "seen")

    def __init__(self, place: Place, *, is_map: bool) -> None:
        self.place = place
        self.is_map = is_map
        self.items: list[Node] = []
        self.pairs: list[tuple[Key, Node]] = []
        self.key: Key | None = None
        self.seen: dict[str, Place] = {}

    def close(self) -> Node:
        """Return the finished node."""
        return (
            Mapping(tuple(self.pairs), self.place) if self.is_map else Listing(tuple(self.items), self.place)
        )


class _Builder:
    """Builds nodes from events and collects what is refused."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.roots: list[Node] = []
        self.problems: list[Problem] = []
        self.quoted: Any = None
        self._open: list[_Open] = []
        self._nodes = 0
        self._repeats = 0

    def take(self, event: Any) -> None:
        """Take the next event.

        Raises:
            BadInputError: a limit is passed; there is no use in reading on.
        """
        if isinstance(event, yaml.ScalarEvent):
            self._scalar(event)
        elif isinstance(event, yaml.CollectionStartEvent):
            self._start(event)
        elif isinstance(event, yaml.CollectionEndEvent):
            self._add(self._open.pop().close())
        elif isinstance(event, yaml.AliasEvent):
            self._repeat(event, "yaml-alias", f"an alias, *{event.anchor}")
            self._add(Scalar(None, "", self._place(event)))

    def told(self) -> tuple[Problem, ...]:
        """Return the problems; of anchors and aliases the first stands for all of them."""
        if self._repeats < 2:
            return tuple(self.problems)
        more = f", the first of {self._repeats} anchors and aliases"
        return tuple(
            replace(p, saw=p.saw + more) if p.check in ("yaml-anchor", "yaml-alias") else p
            for p in self.problems
        )

    def _repeat(self, event: Any, check: str, saw: str) -> None:
        """Note the first anchor or alias and count the others: a bomb made of them is one mistake."""
        self._repeats += 1
        if self._repeats == 1:
            self._refuse(event, check, saw, "write the content out where it is used")

    def _place(self, event: Any) -> Place:
        """Return where an event begins."""
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _refuse(self, event: Any, check: str, saw: str, mend: str) -> None:
        """Note a problem and read on."""
        self.problems.append(Problem(self._place(event), check, saw, "plain YAML", mend))

    def _count(self, event: Any) -> None:
        """Count a node, refuse anchors and tags, and keep the limit on nodes."""
        self._nodes += 1
        if self._nodes > MAX_NODES:
            self._stop(event, "yaml-size", f"more than {MAX_NODES} values in one file", "split the file")
        if event.anchor is not None:
            self._repeat(event, "yaml-anchor", f"an anchor, &{event.anchor}")
        if event.tag is not None:
            self._refuse(
                event, "yaml-tag", f"a tag, {event.tag}", "remove it; quote a value that must be text"
            )

    def _stop(self, event: Any, check: str, saw: str, mend: str) -> None:
        """Stop at a limit."""
        raise BadInputError(*self.told(), Problem(self._place(event), check, saw, "", mend))

    def _start(self, event: Any) -> None:
        """Open a list or mapping."""
        self._count(event)
        if len(self._open) >= MAX_DEPTH:
            saw = f"lists and mappings nested more than {MAX_DEPTH} deep"
            self._stop(event, "yaml-depth", saw, "check the brackets and the indentation")
        self._open.append(_Open(self._place(event), is_map=isinstance(event, yaml.MappingStartEvent)))

    def _scalar(self, event: Any) -> None:
        """Take a scalar: a key where one is due, else a value."""
        self._count(event)
        if event.style in ("'", '"') and event.end_mark.line > event.start_mark.line:
            self.quoted = event
        top = self._open[-1] if self._open else None
        if top is not None and top.is_map and top.key is None:
            self._key(top, event)
        else:
            self._add(Scalar(self._value(event), event.value, self._place(event)))

    def _value(self, event: Any) -> ScalarValue:
        """Return what a scalar stands for; quoted and block scalars are text."""
        if event.style:
            return str(event.value)
        try:
            return resolve(event.value)
        except OverflowError:
            saw = f"a number too large or too long to be held exactly: {event.value[:20]}"
            self._refuse(event, "yaml-number", saw, "use a smaller number, or quote it if it is text")
            return 0

    def _key(self, top: _Open, event: Any) -> None:
        """Take the key of a pair, refusing a merge key and one that was there before."""
        key = Key(event.value, self._place(event))
        if key.name == "<<" and not event.style:
            self._refuse(event, "yaml-merge", "a merge key, <<", "write the keys out")
        elif key.name in top.seen:
            saw = f"the key {show(key.name)} again (first on line {top.seen[key.name].line})"
            self.problems.append(
                Problem(key.place, "yaml-duplicate-key", saw, "each key once", "remove one of the two")
            )
        top.seen.setdefault(key.name, key.place)
        top.key = key

    def _add(self, node: Node) -> None:
        """Put a finished node where it belongs."""
        if not self._open:
            self.roots.append(node)
            return
        top = self._open[-1]
        if not top.is_map:
            top.items.append(node)
        elif top.key is not None:
            top.pairs.append((top.key, node))
            top.key = None
        else:
            saw = "a list or mapping as a key"
            self.problems.append(
                Problem(node.place, "yaml-key", saw, "a word as key", "quote it if it is text")
            )
            top.key = Key("", node.place)


def _surrogate(text: str, error: UnicodeEncodeError, file: str) -> Problem:
    """Word the complaint about half a surrogate pair, which no UTF-8 file can hold."""
    before = text[: error.start]
    place = Place(file, before.count("\n") + 1, error.start - (before.rfind("\n") + 1) + 1)
    return Problem(place, "not-utf8", "half of a surrogate pair", "UTF-8 text", "save the text as UTF-8")


def _broken(error: yaml.YAMLError, text: str, file: str, quoted: Any) -> Problem:
    """Word what the YAML parser complained about.

    Args:
        error: the complaint.
        text: what was read.
        file: its name, for places.
        quoted: the event of the last quoted text over several lines, or None.
    """
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    saw = getattr(error, "problem", None) or getattr(error, "reason", None) or "text that is not YAML"
    place = _at(mark, file) if mark else _place_of(error, text, file)
    if "nesting depth" in saw:
        return Problem(place, "yaml-depth", f"not YAML: {saw}", f"at most {MAX_DEPTH}", "check the brackets")
    context = getattr(error, "context", None)
    if "quoted scalar" in str(context) and "end of stream" in saw:
        mark = error.context_mark  # type: ignore[attr-defined]  # where the quote was opened
        return Problem(_at(mark, file), "yaml-quote", "a quote that is never closed", "", "close it")
    if quoted is not None and mark and quoted.end_mark.line == mark.line:
        saw = f"a quote opened here and closed on line {quoted.end_mark.line + 1}, before what does not fit"
        mend = "close it where its text ends"
        return Problem(_at(quoted.start_mark, file), "yaml-quote", saw, "", mend)
    saw = f"not YAML: {saw}" + (f" ({context})" if context else "")
    mend = "check indentation, brackets and quotes on this line and the one before"
    return Problem(place, "yaml-syntax", saw, "", mend)


def _at(mark: Any, file: str) -> Place:
    """Return the place of a mark of the parser."""
    return Place(file, mark.line + 1, mark.column + 1)


def _place_of(error: yaml.YAMLError, text: str, file: str) -> Place:
    """Find the place of a reader's complaint about a character, which comes as a position only."""
    character = getattr(error, "character", None)
    if isinstance(character, int) and 0 <= character < 0x110000 and chr(character) in text:
        before = text[: text.index(chr(character))]
        return Place(file, before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)
    return Place(file, 1, 1)
