"""A drawing of the argument for one cause: from what was seen through findings to the cause, as SVG."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from msgspec import Struct

from proveout.model.advice import Triage
from proveout.model.atom import FINDING, Observable
from proveout.model.book import Book
from proveout.model.chained import Fired
from proveout.show.figures import cause_title, observable_title, percent

#: Least decibans, for or against, of what is drawn; what moves less is passed over.
LEAST = 0.5
#: Most things drawn in one column, those that weigh most.
MOST = 14
_WIDE, _BOX, _GAP, _TOP = 680, 190, 12, 26
_FOR, _AGAINST, _LINE = "#1f5b3a", "#7a3b12", "#5b6066"


class _Node(Struct, frozen=True):
    """A box: its name, its lines of text, and its place."""

    key: str
    lines: tuple[str, ...]
    x: float
    y: float

    @property
    def high(self) -> float:
        return 10 + 14 * len(self.lines)

    @property
    def middle(self) -> float:
        return self.y + self.high / 2


def argument_svg(answer: Triage, book: Book, cause: str) -> str:
    """Return the drawing for a cause that is in play; "" where nothing seen speaks for or against it."""
    ledger = next((one for one in answer.ledgers if one.cause == cause), None)
    if ledger is None:
        return ""
    weighed = {one.what: one.decibans for one in ledger.entries if abs(one.decibans) >= LEAST}
    seen = {str(one.observable): one.observable for one in answer.sheet.observations}
    fired = [one for one in answer.chained.fired if one.concludes]
    findings = [one for one in fired if _leads(one, fired, weighed)]
    from_facts = {_key(atom.kind, atom.key) for one in findings for atom in one.matched}
    facts = [key for key in seen if key in weighed or key in from_facts]
    facts = sorted(facts, key=lambda key: -abs(weighed.get(key, 0.0)))[:MOST]
    if not facts:
        return ""
    states = {str(one.observable): one.states[0][0] for one in answer.sheet.observations if one.states}
    left = _column([(key, f"{observable_title(book, seen[key])}: {states.get(key, '')}") for key in facts], 0)
    titles = [
        (_key(FINDING, one.concludes or ""), book.words.findings[one.concludes or ""].title)
        for one in findings[:MOST]
    ]
    middle = _column(list(dict(titles).items()), (_WIDE - _BOX) / 2)
    standing = next(one for one in answer.standings if one.cause == cause)
    told = f"{cause_title(book, cause)}: {percent(standing.confidence)}"
    high = max(_bottom(left), _bottom(middle), _TOP + 60)
    lines = _lines(told)
    right = _Node("cause", lines, _WIDE - _BOX, _TOP + (high - _TOP - 10 - 14 * len(lines)) / 2)
    drawn = _edges(left, middle, right, findings, weighed)
    boxes = [_box(node) for node in (*left, *middle)] + [_box(right, bold=True)]
    heads = [
        ("what was seen", 0.0),
        ("what follows", (_WIDE - _BOX) / 2 if middle else -1),
        ("cause", right.x),
    ]
    texts = [
        f'<text x="{x + 2:g}" y="16" fill="{_LINE}">{escape(text)}</text>' for text, x in heads if x >= 0
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {high + 22:g}" role="img" '
        'font-family="sans-serif" font-size="11.5" fill="#1d1f21"><title>'
        f"{escape(f'What speaks for and against {cause_title(book, cause)}')}</title>"
        + "".join([*texts, *drawn, *boxes, _legend(high)])
        + "</svg>"
    )


def _leads(one: Fired, fired: Sequence[Fired], weighed: dict[str, float]) -> bool:
    """Say whether a conclusion leads to something that is weighed, perhaps through further ones."""
    key = _key(FINDING, one.concludes or "")
    if key in weighed:
        return True
    further = (other for other in fired if other.depth > one.depth and other.concludes)
    return any(
        key in {_key(atom.kind, atom.key) for atom in other.matched} and _leads(other, fired, weighed)
        for other in further
    )


def _key(kind: str, key: str) -> str:
    return str(Observable(kind, key))


def _column(titles: Sequence[tuple[str, str]], x: float) -> list[_Node]:
    found, y = [], float(_TOP)
    for key, title in titles:
        node = _Node(key, _lines(title), x, y)
        found.append(node)
        y += node.high + _GAP
    return found


def _lines(text: str) -> tuple[str, ...]:
    """Cut a title into lines that fit a box, three at most."""
    import textwrap

    return tuple(textwrap.wrap(text, 31, max_lines=3, placeholder=" …")) or ("",)


def _bottom(nodes: Sequence[_Node]) -> float:
    return max((node.y + node.high for node in nodes), default=0.0)


def _edges(
    left: Sequence[_Node],
    middle: Sequence[_Node],
    right: _Node,
    findings: Iterable[Fired],
    weighed: dict[str, float],
) -> list[str]:
    nodes = {node.key: node for node in (*left, *middle)}
    drawn = []
    for one in findings:
        end = nodes.get(_key(FINDING, one.concludes or ""))
        for atom in one.matched:
            start = nodes.get(_key(atom.kind, atom.key))
            if start is not None and end is not None and start.x < end.x:
                drawn.append(_edge(start, end, _LINE, 1.0, ""))
    for key, amount in weighed.items():
        if key in nodes:
            ink, dash = (_FOR, "") if amount > 0 else (_AGAINST, "5 3")
            drawn.append(_edge(nodes[key], right, ink, min(1 + abs(amount) / 5, 5), dash, f"{amount:+.1f}"))
    return drawn


def _edge(start: _Node, end: _Node, ink: str, thick: float, dash: str, label: str = "") -> str:
    x, y, to, at = start.x + _BOX, start.middle, end.x, end.middle
    bend = (to - x) / 2
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    path = (
        f'<path d="M{x:.1f} {y:.1f}C{x + bend:.1f} {y:.1f} {to - bend:.1f} {at:.1f} {to:.1f} {at:.1f}" '
        f'fill="none" stroke="{ink}" stroke-width="{thick:.1f}"{dashed}/>'
    )
    return path + (f'<text x="{x + 5:.1f}" y="{y - 4:.1f}" fill="{ink}">{label}</text>' if label else "")


def _box(node: _Node, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    texts = "".join(
        f'<text x="{node.x + 7:g}" y="{node.y + 17 + 14 * row:g}"{weight}>{escape(line)}</text>'
        for row, line in enumerate(node.lines)
    )
    return (
        f'<rect x="{node.x:g}" y="{node.y:g}" width="{_BOX}" height="{node.high:g}" fill="#fff" '
        f'stroke="#1d1f21" stroke-width="{1.8 if bold else 1}"/>{texts}'
    )


def _legend(high: float) -> str:
    return (
        f'<text x="2" y="{high + 16:g}" fill="{_LINE}">Whole line: speaks for it; dashed: against it; '
        "figures: decibans. The thicker, the more.</text>"
    )
