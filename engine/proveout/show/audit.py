"""An audit as text and JSON, and the argument for a purchase in words a customer understands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proveout.audit.argument import Argument
from proveout.audit.replay import Audit, Difference, Replay
from proveout.intake.telling import notes
from proveout.intake.telling import said as said_of
from proveout.model.preference import AS_WRITTEN
from proveout.record.documents import reasons
from proveout.show.figures import money, percent, wrapped

_DIRECT = {
    "failed": "an inspection showed it directly",
    "passed": "the inspection that shows it came out sound",
    "none": "no inspection had shown it directly",
}


def _replay_lines(replay: Replay, width: int) -> list[str]:
    name = f"event {replay.event.n}, {replay.event.at}"
    if replay.planned:
        lines = [
            f"  {name}: the same facts and confidences (chained by {replay.engine}); what to do is planned"
        ]
        lines.append("    otherwise since, and what was advised then cannot be computed anew:")
        return lines + _difference_lines(replay.planned, width)
    if replay.identical:
        return [f"  {name}: identical (chained by {replay.engine})"]
    if replay.problem:
        return wrapped(f"{name}: cannot be computed anew: {replay.problem}", width, "  ", "    ")
    return [f"  {name}: differs", *_difference_lines(replay.differences, width)]


def _difference_lines(found: Sequence[Difference], width: int) -> list[str]:
    lines = []
    for item in found:
        told = f"{item.where}: recorded {item.recorded!r}, now {item.now!r}"
        lines += wrapped(told, width, "    ", "      ")
    return lines


def audit_text(found: Audit, width: int = 80) -> str:
    """Return an audit: does the record hold, and does every advice come out the same."""
    checked = found.verification
    if checked.sound:
        lines = [f"The record holds: {len(checked.events)} events, head {checked.head}"]
    else:
        lines = ["The record is damaged"]
        for problem in checked.problems:
            lines += wrapped(str(problem), width, "  ", "    ")
    if found.replays:
        lines += ["", "Advice computed anew with the book it was given with"]
    for replay in found.replays:
        lines += _replay_lines(replay, width)
    if found.against:
        lines += ["", "What the other book would have said"]
    for replay in found.against:
        lines += _replay_lines(replay, width)
    return "\n".join(lines)


def _plain_lines(item: Argument, width: int, display: str) -> list[str]:
    sheet = item.answer.sheet
    lines = [f"{item.bought.part} for {money(item.bought.cost)}, bought for: {item.title}"]
    sure = f"It was {percent(item.confidence)} sure, and {_DIRECT[item.direct]}."
    lines += wrapped(sure, width, "  ")
    if item.against_verdict:
        verdict = item.answer.verdict.kind
        said = f"The advice then was another: {verdict}. The reason given for buying: {item.bought.reason}"
        lines += wrapped(said, width, "  ")
    for reason in reasons(item.answer, item.book, display):
        lines += wrapped(reason, width, "  ")
    lines.append("  What was seen")
    for seen in sheet.observations:
        how = said_of(sheet, seen.observable, display) or " or ".join(state for state, _ in seen.states)
        what = f"{seen.observable.kind} {seen.observable.key}"
        lines += wrapped(f"{what}: {how}", width, "    - ", "      ")
    for note in notes(sheet, display):
        lines += wrapped(note, width, "    ")
    return lines


def _full_lines(item: Argument, width: int) -> list[str]:
    lines = ["  Ledger (decibans)"]
    for line in item.ledger:
        lines += wrapped(
            f"{line.what} {line.said} {', '.join(line.rules)}", width, f"    {line.decibans:+8.2f}  "
        )
    lines.append("  Rules")
    for used in item.rules:
        rule = used.rule
        mark = "in the ledger" if used.in_ledger else used.by or f"concluded {rule.concludes}"
        lines += wrapped(
            f"{rule.id} ({rule.place}, layer {rule.layer}; {mark}): {rule.because}", width, "    "
        )
    lines.append(f"  None of the causes in play: {percent(item.answer.not_in_book)}")
    return lines


def argument_text(item: Argument, full: bool, width: int = 80, display: str = AS_WRITTEN) -> str:
    """Return the argument for a purchase, in short for a customer or in full for an expert."""
    lines = _plain_lines(item, width, display)
    lines.append("  What else it could have been")
    for other in item.alternatives if full else item.alternatives[:5]:
        lines += wrapped(
            f"{other.title} ({percent(other.confidence)}): {other.why}", width, "    - ", "      "
        )
    missing = [entry for entry in item.unchecked if full or entry.required]
    if missing:
        lines.append("  What was not inspected")
    for entry in missing:
        due = "due before buying" if entry.required else f"would show {entry.cause}"
        lines += wrapped(f"{entry.title} ({due})", width, "    - ", "      ")
    if full:
        lines += _full_lines(item, width)
    for reminder in item.warranty:
        lines += wrapped(f"{reminder.term.title}: {reminder.stands} ({reminder.why})", width, "  ", "    ")
    return "\n".join(lines)


def _replay_document(replay: Replay) -> dict[str, Any]:
    return {
        "event": replay.event.n,
        "at": replay.event.at,
        "identical": replay.identical,
        "problem": replay.problem,
        "engine": replay.engine,
        "differences": _differences(replay.differences),
        "planned": _differences(replay.planned),
    }


def _differences(found: Sequence[Difference]) -> list[dict[str, Any]]:
    return [{"where": item.where, "recorded": item.recorded, "now": item.now} for item in found]


def audit_document(found: Audit, arguments: Sequence[Argument]) -> dict[str, Any]:
    """Return an audit as a document of schema ``proveout/audit/1``."""
    return {
        "schema": "proveout/audit/1",
        "sound": found.verification.sound,
        "clean": found.clean,
        "head": found.verification.head,
        "events": len(found.verification.events),
        "problems": [str(problem) for problem in found.verification.problems],
        "advice": [_replay_document(replay) for replay in found.replays],
        "against": [_replay_document(replay) for replay in found.against],
        "purchases": [
            {
                "event": item.purchase.n,
                "advice": item.advice.n,
                "cause": item.cause,
                "part": item.bought.part,
                "cost": item.bought.cost,
                "confidence": round(item.confidence, 9),
                "direct": item.direct,
                "against_verdict": item.against_verdict,
                "reason": item.bought.reason,
                "verdict": item.answer.verdict.kind,
                "alternatives": [
                    {"cause": other.cause, "confidence": round(other.confidence, 9), "why": other.why}
                    for other in item.alternatives
                ],
                "not_inspected": [entry.inspection for entry in item.unchecked],
            }
            for item in arguments
        ],
    }
