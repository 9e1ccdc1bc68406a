"""YAML text to located nodes, refusing what a rule or case file has no use for.

Nodes are built from libyaml's events, one after the other and without recursion, so that the limits on
depth and number of nodes are kept before anything is built from them and no nesting can exhaust the stack.
Anchors and aliases are refused outright: with them a few hundred bytes unfold without end in validation.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import yaml
from msgspec.structs import replace

from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.text.near import show
from proveout.text.node import Key, Listing, Mapping, Node, Scalar, ScalarValue
from proveout.text.scalars import resolve

#: Deepest nesting of lists and mappings.
MAX_DEPTH = 40
#: Most nodes in one file: scalars, lists and mappings together.
MAX_NODES = 200_000

#: Styles of scalars, of which those in quotes may go on over several lines by mistake.
_QUOTES = "'\""

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
        loader = _LOADER(text.removeprefix("\ufeff"))
        try:
            builder.take(iter(loader.get_event, None))
        finally:
            loader.dispose()
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
        self.problems: list[Problem] = []
        self.quoted: Any = None
        # What holds the documents, then every list and mapping that is open; the innermost is at hand.
        self._top = _Open(NOWHERE, is_map=False)
        self._open = [self._top]
        self._nodes = 0
        self._repeats = 0

    @property
    def roots(self) -> list[Node]:
        """The documents."""
        return self._open[0].items

    def take(self, events: Iterable[Any]) -> None:
        """Take all events; scalars, two of three, without a further call: a book has 170,000 of them.

        Raises:
            BadInputError: a limit is passed; there is no use in reading on.
        """
        file = self.file
        is_scalar: Any = yaml.ScalarEvent
        for event in events:
            if type(event) is not is_scalar:
                self._take_other(event)
                continue
            self._nodes += 1
            if self._nodes > MAX_NODES or event.anchor is not None or event.tag is not None:
                self._refuse_odd(event)
            mark, text, style = event.start_mark, event.value, event.style
            place = Place(file, mark.line + 1, mark.column + 1)
            if style and style in _QUOTES and event.end_mark.line > mark.line:
                self.quoted = event
            top = self._top
            if top.is_map and top.key is None:
                if text in top.seen or text == "<<":
                    self._refuse_key(top, text, place, plain=not style)
                else:
                    top.seen[text] = place
                top.key = Key(text, place)
                continue
            node = Scalar(text if style else self._value(text, place), text, place)
            if top.key is not None:
                top.pairs.append((top.key, node))
                top.key = None
            else:
                top.items.append(node)

    def _take_other(self, event: Any) -> None:
        """Take the begin or the end of a list or mapping, or refuse an alias."""
        if isinstance(event, yaml.CollectionStartEvent):
            self._start(event)
        elif isinstance(event, yaml.CollectionEndEvent):
            closed = self._open.pop().close()
            self._top = self._open[-1]
            self._add(closed)
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
            self._refuse(self._place(event), check, saw, "write the content out where it is used")

    def _place(self, event: Any) -> Place:
        """Return where an event begins."""
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _refuse(self, place: Place, check: str, saw: str, mend: str) -> None:
        """Note a problem and read on."""
        self.problems.append(Problem(place, check, saw, "plain YAML", mend))

    def _refuse_odd(self, event: Any) -> None:
        """Refuse anchors and tags, and keep the limit on nodes."""
        if self._nodes > MAX_NODES:
            self._stop(event, "yaml-size", f"more than {MAX_NODES} values in one file", "split the file")
        if event.anchor is not None:
            self._repeat(event, "yaml-anchor", f"an anchor, &{event.anchor}")
        if event.tag is not None:
            mend = "remove it; quote a value that must be text"
            self._refuse(self._place(event), "yaml-tag", f"a tag, {event.tag}", mend)

    def _stop(self, event: Any, check: str, saw: str, mend: str) -> None:
        """Stop at a limit."""
        raise BadInputError(*self.told(), Problem(self._place(event), check, saw, "", mend))

    def _start(self, event: Any) -> None:
        """Open a list or mapping."""
        self._nodes += 1
        if self._nodes > MAX_NODES or event.anchor is not None or event.tag is not None:
            self._refuse_odd(event)
        if len(self._open) > MAX_DEPTH:
            saw = f"lists and mappings nested more than {MAX_DEPTH} deep"
            self._stop(event, "yaml-depth", saw, "check the brackets and the indentation")
        self._top = _Open(self._place(event), is_map=isinstance(event, yaml.MappingStartEvent))
        self._open.append(self._top)

    def _value(self, text: str, place: Place) -> ScalarValue:
        """Return what an unquoted scalar stands for."""
        try:
            return resolve(text)
        except OverflowError:
            saw = f"a number too large or too long to be held exactly: {text[:20]}"
            self._refuse(place, "yaml-number", saw, "use a smaller number, or quote it if it is text")
            return 0

    def _refuse_key(self, top: _Open, name: str, place: Place, *, plain: bool) -> None:
        """Refuse a merge key and one that was there before."""
        if name == "<<" and plain:
            self._refuse(place, "yaml-merge", "a merge key, <<", "write the keys out")
        elif name in top.seen:
            saw = f"the key {show(name)} again (first on line {top.seen[name].line})"
            mend = "remove one of the two"
            self.problems.append(Problem(place, "yaml-duplicate-key", saw, "each key once", mend))
        top.seen.setdefault(name, place)

    def _add(self, node: Node) -> None:
        """Put a finished list or mapping where it belongs."""
        top = self._top
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
