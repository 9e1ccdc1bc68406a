"""The last part of a report: the record itself, every advice computed anew, and every rule that spoke."""

from __future__ import annotations

from html import escape
from pathlib import PurePath

from proveout.app.story import Story
from proveout.intake.called import evidence_said
from proveout.model.problem import Place
from proveout.show.argument import frequencies_said
from proveout.show.audit import book_said, proof_said
from proveout.show.figures import cause_title
from proveout.show.html import items, paragraphs, table


def audit_part(story: Story) -> str:
    """Return the audit, on sheets of its own."""
    return (
        '<section class="sheet"><h1>The audit</h1>'
        + _record(story)
        + _replays(story)
        + _events(story)
        + _ledgers(story)
        + _rules(story)
        + "</section>"
    )


def _record(story: Story) -> str:
    if story.audited is None:
        return paragraphs(["This is an intake document: nothing was recorded of it yet."])
    checked = story.audited.verification
    if not checked.sound:
        return paragraphs(["The record is damaged:", *(str(problem) for problem in checked.problems)], "warn")
    return paragraphs(
        [
            f"The record holds: {len(checked.events)} events, each sealed by its digest.",
            f"Head: {checked.head}",
            *proof_said(story.audited),
        ]
    ) + (
        "<h2>What speaks against it</h2>"
        + items(f"event {one.event}: {one.said}" for one in story.audited.findings)
        if story.audited.findings
        else ""
    )


def _replays(story: Story) -> str:
    if story.audited is None or not story.audited.replays:
        return ""
    rows = []
    for replay in story.audited.replays:
        said = (
            "the same came out"
            if replay.identical
            else replay.problem or f"{len(replay.differences)} values differ"
        )
        rows.append((f"event {replay.event.n}", replay.event.at, book_said(replay), said, replay.engine))
    head = ("advice", "given", "with", "computed anew with that book", "chained by")
    return "<h2>Advice computed anew</h2>" + table(head, rows)


def _events(story: Story) -> str:
    if not story.events:
        return ""
    rows = [
        (str(event.n), event.at, event.kind, "" if story.redacted else event.by, event.digest[:16])
        for event in story.events
    ]
    return "<h2>Events</h2>" + table(("", "when", "what", "by", "digest begins"), rows)


def _ledgers(story: Story) -> str:
    """Return the column of evidence of each cause that was likely or inspected, with its rules."""
    likely = {s.cause for s in story.answer.hypotheses if s.confidence >= 0.01 or s.direct != "none"}
    parts = []
    for ledger in story.answer.ledgers:
        if ledger.cause not in likely:
            continue
        rows = [
            (evidence_said(story.book, e.what, e.said), f"{e.decibans:+.2f}", ", ".join(e.rules))
            for e in ledger.entries
        ]
        rows.append(("in all", f"{ledger.total:+.2f}", ""))
        title = f"{cause_title(story.book, ledger.cause)} ({ledger.cause})"
        parts.append(f"<h3>{escape(title)}</h3>")
        parts.append(table(("evidence", "decibans", "rules"), rows, frozenset({1})))
    return "<h2>Ledgers</h2>" + "".join(parts) if parts else ""


def _rules(story: Story) -> str:
    """Return every rule that spoke or concluded, with its place, its reason and its source."""
    names = {one.rule for one in story.answer.spoken}
    names |= {fired.rule for fired in story.answer.chained.fired if fired.concludes}
    rows = []
    for name in sorted(names):
        rule = story.book.rules[name]
        place = _place(rule.place, story.redacted)
        rows.append((name, place, rule.because, frequencies_said(rule), rule.source))
    head = ("rule", "where", "because", "seen with", "source")
    return "<h2>Rules</h2>" + table(head, rows) if rows else ""


def _place(place: Place, redacted: bool) -> str:
    """Return where a rule stands; redacted without the directories, which may name somebody."""
    return f"{PurePath(place.file).name}:{place.line}" if redacted else str(place)
