"""A drawing of the argument for one cause: from what was seen through findings to the cause, as SVG."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from proveout.intake.called import evidence_said
from proveout.model.advice import Triage
from proveout.model.atom import FINDING, Observable
from proveout.model.book import Book
from proveout.model.chained import Fired
from proveout.show.boxes import (
    AGAINST,
    FOR,
    LINE,
    TOP,
    WIDE,
    Box,
    arrow,
    bottom,
    column,
    drawn,
    lines_of,
    sheet,
)
from proveout.show.figures import cause_title, percent

#: Least decibans, for or against, of what is drawn; what moves less is passed over.
LEAST = 0.5
#: Most things drawn in one column, those that weigh most.
MOST = 14
_WIDE = 680


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
    left = column([(key, evidence_said(book, key, states.get(key, ""))) for key in facts], 0)
    titles = [
        (_key(FINDING, one.concludes or ""), book.words.findings[one.concludes or ""].title)
        for one in findings[:MOST]
    ]
    middle = column(list(dict(titles).items()), (_WIDE - WIDE) / 2)
    hypothesis = next(one for one in answer.hypotheses if one.cause == cause)
    told = f"{cause_title(book, cause)}: {percent(hypothesis.confidence)}"
    high = max(bottom(left), bottom(middle), TOP + 60)
    lines = lines_of(told)
    right = Box("cause", lines, _WIDE - WIDE, TOP + (high - TOP - 10 - 14 * len(lines)) / 2)
    edges = _edges(left, middle, right, findings, weighed)
    boxes = [drawn(node) for node in (*left, *middle)] + [drawn(right, bold=True)]
    heads = [
        ("what was seen", 0.0),
        ("what follows", (_WIDE - WIDE) / 2 if middle else -1),
        ("cause", right.x),
    ]
    texts = [f'<text x="{x + 2:g}" y="16" fill="{LINE}">{escape(text)}</text>' for text, x in heads if x >= 0]
    title = f"What speaks for and against {cause_title(book, cause)}"
    return sheet(_WIDE, high + 22, title, [*texts, *edges, *boxes, _legend(high)])


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


def _edges(
    left: Sequence[Box],
    middle: Sequence[Box],
    right: Box,
    findings: Iterable[Fired],
    weighed: dict[str, float],
) -> list[str]:
    nodes = {node.key: node for node in (*left, *middle)}
    lines = []
    for one in findings:
        end = nodes.get(_key(FINDING, one.concludes or ""))
        for atom in one.matched:
            start = nodes.get(_key(atom.kind, atom.key))
            if start is not None and end is not None and start.x < end.x:
                lines.append(arrow(start, end, LINE, 1.0, ""))
    for key, amount in weighed.items():
        if key in nodes:
            ink, dash = (FOR, "") if amount > 0 else (AGAINST, "5 3")
            lines.append(arrow(nodes[key], right, ink, min(1 + abs(amount) / 5, 5), dash, f"{amount:+.1f}"))
    return lines


def _legend(high: float) -> str:
    return (
        f'<text x="2" y="{high + 16:g}" fill="{LINE}">Whole line: speaks for it; dashed: against it; '
        "figures: decibans. The thicker, the more.</text>"
    )
