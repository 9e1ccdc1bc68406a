"""Topic files: a mapping of sections, whose entries are brought into the shape that the book is built from.

In that shape an inspection says under ``proves`` which results show a cause, every row is a rule of its own
(``rows``), and every entry states its source.
"""

from __future__ import annotations

from collections.abc import Iterator

from proveout.book.fields import inner, number
from proveout.book.rows import DRIVING, KEYS, OBSERVED, condition_of, driving_node, rule_node, text_node
from proveout.model.problem import Place, Problem
from proveout.model.rule import FREQUENCY_WORDS
from proveout.text.node import Key, Listing, Mapping, Node, Scalar

#: The section that says where figures come from that do not say so themselves.
SOURCES = "sources"
#: The section that says so for all files of a layer.
ALL_SOURCES = "all_sources"
#: What all codes of a file have that do not say otherwise.
ALL_CODES = "all_codes"

#: Entries that stand at another one, each with its kind.
Rows = tuple[tuple[str, Mapping], ...]


class Topic:
    """Brings the entries of one file into shape; what is missing goes to ``problems``.

    Args:
        root: the file.
        problems: where complaints go.
        common: the sources that the layer states for all of its files.
    """

    def __init__(self, root: Mapping, problems: list[Problem], common: Mapping | None = None) -> None:
        own = inner(root, SOURCES)
        rest = tuple(pair for pair in common or () if pair[0].name not in own)
        self._sources = Mapping((*own.pairs, *rest), own.place)
        self._all_codes = inner(root, ALL_CODES)
        self._codes = root.get("codes")
        self._problems = problems

    def shaped(self, kind: str, node: Mapping) -> tuple[Mapping, Rows]:
        """Return an entry in shape, and the entries that its rows stand for."""
        if kind == "causes":
            return self._sourced(node, "base_rate", "base_rate_source"), ()
        if kind == "inspections":
            return self._inspection(node)
        if kind == "rules":
            return self._rule(node), ()
        if kind in OBSERVED:
            return self._observed(kind, node)
        if kind == "driving-on":
            return self._sourced(_with_condition(node), DRIVING), ()
        return node, ()

    def _sourced(self, node: Mapping, what: str, key: str = "source") -> Mapping:
        """Return an entry with the source that the file states for ``what`` where it has none itself."""
        if key in node:
            return node
        common = self._sources.get(what)
        if common is None:
            expected = f"'{key}', or '{what}' under '{SOURCES}' at the head of the file"
            mend = "say where it comes from"
            self._problems.append(Problem(node.place, "source-missing", f"no '{key}'", expected, mend))
            return node
        return Mapping((*node.pairs, (Key(key, common.place), common)), node.place)

    def _code(self, node: Mapping) -> Mapping:
        """Return a code with what the file states for all of its codes."""
        common = tuple((key, value) for key, value in self._all_codes if key.name not in node)
        if "family" not in node and "family" not in self._all_codes:
            mend = "add it here, or under 'all_codes' before the codes of the file"
            self._problems.append(
                Problem(node.place, "family-missing", "a code without a family", "family", mend)
            )
        return self._explained(self._sourced(Mapping((*node.pairs, *common), node.place), "codes"))

    def _as_another(self, node: Mapping) -> Mapping:
        """Return a code that asks for it with the frequencies of another code of the file, times a factor."""
        if "seen_as" not in node:
            return node
        said = inner(node, "seen_as")
        others = self._codes.items if isinstance(self._codes, Listing) else ()
        wanted = _text(said, "code")
        named = (one for one in others if isinstance(one, Mapping) and _text(one, "id") == wanted)
        other = next((one for one in named if "seen_with" in one), None)
        rest = tuple((key, value) for key, value in node if key.name not in ("seen_as", "seen_with"))
        if other is None:
            mend = "name a code of this file that has 'seen_with' itself"
            saw = f"'{wanted}' under 'seen_as'"
            self._problems.append(
                Problem(said.place, "seen-as-unknown", saw, "a code with 'seen_with'", mend)
            )
            return Mapping(rest, node.place)
        times = number(said, "times", 1.0)
        figures = tuple(
            (Key(key.name, said.place), scaled(value, times, said.place))
            for key, value in inner(other, "seen_with")
        )
        seen = Mapping(figures, said.place)
        return Mapping((*rest, (Key("seen_with", said.place), seen)), node.place)

    def _explained(self, node: Mapping) -> Mapping:
        """Return a code that weighs nothing with the reason that the file states for all such."""
        common = self._sources.get("unweighed")
        if common is None or "unweighed" in node or "seen_with" in node:
            return node
        return Mapping((*node.pairs, (Key("unweighed", common.place), common)), node.place)

    def _observed(self, kind: str, node: Mapping) -> tuple[Mapping, Rows]:
        """Part a code, symptom, circumstance or finding from its rows."""
        if kind == "codes":
            node = self._as_another(node)
        entry = self._code(node) if kind == "codes" else node
        gone = {*KEYS, DRIVING} - ({"source"} if kind == "codes" else set())
        own = Mapping(tuple((k, v) for k, v in entry if k.name not in gone), node.place)
        driving = self._driving(f"{OBSERVED[kind]}:{_text(node, 'id')}", node, node)
        if not self._is_row(node, () if kind == "codes" else ("source",)):
            return own, driving
        because = node.get("because") or node.get("meaning") or node.get("note") or node.get("title")
        source = entry.get("source") or self._sources.get("seen_with")
        name = f"{OBSERVED[kind]}:{_text(node, 'id')}"
        return own, self._row(name, _row_key(node), node, because, source, node) + driving

    def _driving(self, name: str, said: Mapping, entry: Mapping) -> Rows:
        """Return what an entry or result says of driving on, as an entry of its own."""
        if DRIVING not in said:
            return ()
        row = driving_node(name, _key(said, DRIVING), inner(said, DRIVING), "replaces" in entry)
        return (("driving-on", self._sourced(row, DRIVING)),)

    def _inspection(self, node: Mapping) -> tuple[Mapping, Rows]:
        """Part an inspection from the rows of its results, and gather what they show."""
        entry = self._limited(self._sourced(node, "inspections"))
        results: list[tuple[Key, Node]] = []
        rows: list[tuple[str, Mapping]] = []
        shows: dict[str, tuple[Key, list[Node]]] = {}
        for key, value in inner(node, "results"):
            if not isinstance(value, Mapping):
                continue
            results.append((key, _plain_result(value)))
            for cause in _shown(value):
                shows.setdefault(cause.text, (Key(cause.text, cause.place), []))[1].append(
                    text_node(key.name, cause)
                )
            rows += self._driving(f"{_text(node, 'id')}={key.name}", value, node)
            if self._is_row(value, ("source",)):
                source = value.get("source") or self._sources.get("seen_with") or entry.get("source")
                name = f"{_text(node, 'id')}={key.name}"
                because = value.get("because") or value.get("means")
                rows += self._row(name, _row_key(value), value, because, source, node)
        proves = Mapping(
            tuple((key, Listing(tuple(names), key.place)) for key, names in shows.values()), node.place
        )
        changed = {"results": Mapping(tuple(results), inner(node, "results").place)}
        if "reading" in node:
            changed["reading"] = self._sourced(inner(node, "reading"), "limits", "limits_source")
        pairs = [(key, changed.get(key.name, value)) for key, value in entry]
        if proves.pairs:
            pairs.append((Key("proves", node.place), proves))
        return Mapping(tuple(pairs), node.place), tuple(rows)

    def _limited(self, node: Mapping) -> Mapping:
        """Return an inspection whose damage limit has the source that the file states, where it has none."""
        common = self._sources.get("damage_limits")
        if common is None or "damage_limit" not in node or "damage_limit_source" in node:
            return node
        return Mapping((*node.pairs, (Key("damage_limit_source", common.place), common)), node.place)

    def _is_row(self, node: Mapping, besides: tuple[str, ...]) -> bool:
        """Say whether a node carries a row: frequencies, or ``otherwise`` alone where causes state theirs.

        A reason, or one of the keys ``besides``, without either is complained of.
        """
        if "seen_with" in node or "otherwise" in node:
            return True
        for key, _ in node:
            if key.name in ("because", *besides):
                saw, mend = f"'{key.name}' without frequencies", "add 'seen_with', or 'otherwise' alone"
                self._problems.append(Problem(key.place, "frequencies-missing", saw, "frequencies", mend))
        return False

    def _row(
        self, name: str, at: Key, row: Mapping, because: Node | None, source: Node | None, entry: Mapping
    ) -> Rows:
        """Return the rule of a row; none where its source is missing, which is complained of."""
        if source is None:
            expected = f"'source', or 'seen_with' under '{SOURCES}' at the head of the file"
            mend = "say where the frequencies come from"
            self._problems.append(Problem(at.place, "source-missing", "no 'source'", expected, mend))
            return ()
        reason = because if because is not None else text_node(name, at)
        return (("rules", rule_node(name, at, row, reason, source, "replaces" in entry)),)

    def _rule(self, node: Mapping) -> Mapping:
        """Name a rule that takes the place of a row, and call its frequencies by the book's word."""
        pairs = tuple((Key("weigh", k.place) if k.name == "seen_with" else k, v) for k, v in node)
        named = _with_condition(Mapping(pairs, node.place))
        return self._sourced(named, "seen_with" if "seen_with" in node else "conclude")


def _with_condition(node: Mapping) -> Mapping:
    """Return an entry that takes a row's place with its id and condition, where it states none."""
    replaced, pairs = node.get("replaces"), list(node.pairs)
    if not isinstance(replaced, Scalar):
        return node
    if "id" not in node:
        pairs.insert(0, (Key("id", replaced.place), replaced))
    if "when" not in node and (condition := condition_of(replaced.text, replaced)).pairs:
        pairs.append((Key("when", replaced.place), condition))
    return Mapping(tuple(pairs), node.place)


def scaled(value: Node, times: float, place: Place) -> Scalar:
    """Return a frequency times a factor, to six digits after the point; what is no frequency as it stands."""
    said = value.value if isinstance(value, Scalar) else None
    figure = FREQUENCY_WORDS.get(said, 0.0) if isinstance(said, str) else said
    if not isinstance(figure, (int, float)) or not figure:
        return Scalar(said, _shown_as(value), place)
    scaled = round(figure * times, 6)
    return Scalar(scaled, str(scaled), place)


def _shown_as(node: Node) -> str:
    return node.text if isinstance(node, Scalar) else ""


def _plain_result(node: Mapping) -> Mapping:
    """Return a result without its row and what it shows."""
    return Mapping(tuple((k, v) for k, v in node if k.name in ("is", "means")), node.place)


def _shown(node: Mapping) -> Iterator[Scalar]:
    """Return the causes that a result shows."""
    shows = node.get("shows")
    for item in shows.items if isinstance(shows, Listing) else ():
        if isinstance(item, Scalar):
            yield item


def _key(node: Mapping, name: str) -> Key:
    """Return the key of that name, which must be there."""
    return Key(name, node.key_place(name))


def _row_key(node: Mapping) -> Key:
    """Return the key at which a row stands: that of its frequencies, or else ``otherwise``."""
    return _key(node, "seen_with" if "seen_with" in node else "otherwise")


def _text(node: Mapping, key: str) -> str:
    value = node.get(key)
    return value.text if isinstance(value, Scalar) else ""
