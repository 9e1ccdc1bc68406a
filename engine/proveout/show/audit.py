"""An audit as text and JSON: the record, its proofs, each advice computed anew, the story of the repairs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proveout.audit.against import Against
from proveout.audit.argument import Argument
from proveout.audit.chapters import Chapter
from proveout.audit.proof import Proof
from proveout.audit.replay import Audit, Difference, Replay
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.record.bodies import Advice, body_of
from proveout.record.verify import SHORT_HEAD
from proveout.show.argument import argument_text
from proveout.show.chapters import heading, known, sentences
from proveout.show.figures import percent, wrapped

#: Most causes told of one advice beside another book.
_MOST_MOVED = 5


def book_said(replay: Replay) -> str:
    """Return which book an advice was given with."""
    body = body_of(replay.event, Advice)
    layers = () if isinstance(body.book, str) else body.book.layers
    own = [name for name in layers if name != "book"]
    with_them = f"the shipped rules and {', '.join(own)}" if own else "the shipped rules" if layers else ""
    return f"book {body.book_digest[:SHORT_HEAD]}" + (f" ({with_them})" if with_them else "")


def _replay_lines(replay: Replay, width: int) -> list[str]:
    by = f", {replay.event.by}" if replay.event.by else ""
    name = f"event {replay.event.n}, {replay.event.at}{by}, {book_said(replay)}"
    if replay.planned:
        told = (
            f"{name}: the same facts and confidences (chained by {replay.engine}); what to do is planned "
            "otherwise since, and what was advised then cannot be computed anew:"
        )
        return [*wrapped(told, width, "  ", "    "), *_difference_lines(replay.planned, width)]
    if replay.identical:
        return wrapped(f"{name}: identical (chained by {replay.engine})", width, "  ", "    ")
    if replay.problem:
        return wrapped(f"{name}: cannot be computed anew: {replay.problem}", width, "  ", "    ")
    return [*wrapped(f"{name}: differs", width, "  ", "    "), *_difference_lines(replay.differences, width)]


def _difference_lines(found: Sequence[Difference], width: int) -> list[str]:
    lines = []
    for item in found:
        told = f"{item.where}: recorded {item.recorded!r}, now {item.now!r}"
        lines += wrapped(told, width, "    ", "      ")
    return lines


def proof_said(found: Audit) -> list[str]:
    """Say what a record can and cannot prove, with the signatures and stamps that it has."""
    proof, head = found.proof, found.verification.head
    told = []
    for one in proof.signed:
        how = one.problem or one.unchecked or "holds"
        told.append(f"Signature of event {one.of} by the key {one.key[:SHORT_HEAD]}…: {how}.")
    for stamp in proof.stamped:
        how = stamp.problem or stamp.unchecked or "holds"
        who = f" by {stamp.by}" if stamp.by else ""
        told.append(f"Time stamp of event {stamp.of}, {stamp.at:%Y-%m-%d %H:%M:%S} UTC{who}: {how}.")
    return [*told, *_worth(proof, head)]


def _worth(proof: Proof, head: str) -> list[str]:
    """Say in words what the chain proves against whom."""
    told = [
        "The chain shows every change made by anybody who does not seal everything after it anew. A cut end "
        f"shows only to whoever has kept the head elsewhere: {head[:SHORT_HEAD]}.",
    ]
    if proof.signed_upto:
        whom = "that key, which must be known to be his" if not proof.signer else "the key you named"
        told.append(
            f"Up to event {proof.signed_upto} nobody without {whom} can have changed it since it was signed. "
            "Whoever holds the key can write and sign another history."
        )
    else:
        told.append(
            "Nobody has signed it, so it proves nothing against its own keeper: he could write all of it "
            "again, leave out events, put in others, change times, names and readings, and seal them anew."
        )
    if proof.stamped_upto:
        told.append(f"Event {proof.stamped_upto} and all before it existed at the time of its stamp.")
    else:
        told.append(
            "No authority that you named has stamped it: its times are those of the writer's clock, which "
            "may have been wrong or set."
        )
    told.append("Nothing here shows that what was typed is true, or that who is named did it.")
    return told


def audit_text(found: Audit, width: int = 80) -> str:
    """Return an audit: does the record hold, what can it prove, does every advice come out the same."""
    checked = found.verification
    if not checked.sound:
        lines = ["The record is damaged"]
        for problem in checked.problems:
            lines += wrapped(str(problem), width, "  ", "    ")
        lines += _replays(found, width)
        return "\n".join(lines)
    lines = [f"The record holds: {len(checked.events)} events, head {checked.head}"]
    for said in proof_said(found):
        lines += wrapped(said, width, "  ")
    if found.findings:
        lines += ["", "What speaks against it"]
    for item in found.findings:
        lines += wrapped(f"event {item.event}: {item.said} [{item.check}]", width, "  - ", "    ")
    return "\n".join([*lines, *_replays(found, width)])


def _replays(found: Audit, width: int) -> list[str]:
    lines = ["", "Advice computed anew with the book it was given with"] if found.replays else []
    for replay in found.replays:
        lines += _replay_lines(replay, width)
    return lines


def other_book_text(found: Sequence[Against], width: int = 80) -> str:
    """Say what another book would have said: verdicts, causes by name, and the rules that changed."""
    lines = ["What the other book would have said"]
    for item in found:
        lines += wrapped(f"event {item.event.n}, {item.event.at}: {_against(item)}", width, "  ", "    ")
        for cause, before, after in item.moved[:_MOST_MOVED]:
            told = f"{_title(item, cause)}: {percent(before)} → {percent(after)}"
            lines += wrapped(told, width, "    ", "      ")
        if len(item.moved) > _MOST_MOVED:
            lines.append(f"    and {len(item.moved) - _MOST_MOVED} more causes")
        for name, how in item.rules:
            lines += wrapped(_rule_changed(item, name, how), width, "    ", "      ")
    return "\n".join(lines)


def _against(item: Against) -> str:
    if item.problem:
        return f"cannot be said: {item.problem}"
    if item.same:
        return "the same"
    if item.verdicts_same:
        said = f"same verdict, {_verdict(item, item.new.verdict)}"
    else:
        said = (
            f"another verdict: {_verdict(item, item.new.verdict)}; it was {_verdict(item, item.old.verdict)}"
        )
    if item.old.next == item.new.next:
        return said
    titles = [_step(item, one) for one in (item.old.next, item.new.next)]
    return f"{said}; next {titles[1]}, not {titles[0]}"


def _verdict(item: Against, verdict: tuple[str, str]) -> str:
    kind, cause = verdict
    return f"{kind} {_title(item, cause)}" if cause else kind


def _title(item: Against, cause: str) -> str:
    book = next((one for one in (item.other, item.book) if cause in one.causes), None)
    return f"“{book.causes[cause].title}”" if book else cause


def _step(item: Against, name: str) -> str:
    book: Book | None = next((one for one in (item.other, item.book) if name in one.inspections), None)
    return f"“{book.inspections[name].title}”" if book else "nothing"


def _rule_changed(item: Against, name: str, how: str) -> str:
    """Say how a rule differs: its frequencies before and after."""
    old, new = item.book.rules.get(name), item.other.rules.get(name)
    told = []
    for cause in dict.fromkeys((*(old.weights if old else ()), *(new.weights if new else ()))):
        was = old.weights.get(cause) if old else None
        now = new.weights.get(cause) if new else None
        if was != now:
            told.append(f"{_title(item, cause)} {_share(was)} → {_share(now)}")
    if old and new and old.otherwise != new.otherwise:
        told.append(f"otherwise {_share(old.otherwise)} → {_share(new.otherwise)}")
    place = new.place if new else old.place if old else ""
    figures = f": {', '.join(told)}" if told else ""
    return f"rule {name} ({place}) {how}{figures}"


def _share(share: float | None) -> str:
    return "not stated" if share is None else f"{share:g}"


def story_text(found: Sequence[Chapter], full: bool, width: int = 80, display: str = AS_WRITTEN) -> str:
    """Return the story of a case, repair by repair, with the argument for each part that was bought."""
    lines: list[str] = []
    for chapter in found:
        if not chapter.steps and chapter.number > 1:
            continue
        lines += wrapped(heading(chapter), width)
        book = next((step.book for step in chapter.steps), None)
        for said in known(chapter, book):
            lines += wrapped(said, width, "  ")
        for step in chapter.steps:
            by = f", {step.event.by}" if step.event.by else ""
            told = " ".join(sentences(step, display))
            lines += wrapped(f"{step.event.at[:10]}{by}, event {step.event.n}: {told}", width, "  - ", "    ")
            if step.argument is not None:
                inner = argument_text(step.argument, full, width - 2, display, told=True)
                lines += [f"  {line}" for line in inner.split("\n")]
        lines.append("")
    return "\n".join(lines).rstrip()


def _replay_document(replay: Replay) -> dict[str, Any]:
    body = body_of(replay.event, Advice)
    return {
        "event": replay.event.n,
        "at": replay.event.at,
        "book": body.book_digest,
        "layers": [] if isinstance(body.book, str) else list(body.book.layers),
        "identical": replay.identical,
        "problem": replay.problem,
        "engine": replay.engine,
        "differences": _differences(replay.differences),
        "planned": _differences(replay.planned),
    }


def _differences(found: Sequence[Difference]) -> list[dict[str, Any]]:
    return [{"where": item.where, "recorded": item.recorded, "now": item.now} for item in found]


def _against_document(item: Against) -> dict[str, Any]:
    return {
        "event": item.event.n,
        "at": item.event.at,
        "problem": item.problem,
        "same": item.same,
        "old": {"verdict": item.old.verdict[0], "cause": item.old.verdict[1], "next": item.old.next},
        "new": {"verdict": item.new.verdict[0], "cause": item.new.verdict[1], "next": item.new.next},
        "moved": [
            {"cause": cause, "old": round(before, 9), "new": round(after, 9)}
            for cause, before, after in item.moved
        ],
        "rules": [{"id": name, "how": how} for name, how in item.rules],
    }


def _proof_document(proof: Proof) -> dict[str, Any]:
    return {
        "signed_upto": proof.signed_upto,
        "stamped_upto": proof.stamped_upto,
        "signatures": [
            {"event": one.event, "of": one.of, "key": one.key, "problem": one.problem or one.unchecked}
            for one in proof.signed
        ],
        "stamps": [
            {
                "event": one.event,
                "of": one.of,
                "at": f"{one.at:%Y-%m-%dT%H:%M:%SZ}",
                "by": one.by,
                "problem": one.problem or one.unchecked,
            }
            for one in proof.stamped
        ],
    }


def audit_document(
    found: Audit, arguments: Sequence[Argument], against: Sequence[Against] = ()
) -> dict[str, Any]:
    """Return an audit as a document of schema ``proveout/audit/2``."""
    return {
        "schema": "proveout/audit/2",
        "sound": found.verification.sound,
        "clean": found.clean,
        "head": found.verification.head,
        "events": len(found.verification.events),
        "problems": [str(problem) for problem in found.verification.problems],
        "findings": [{"event": o.event, "check": o.check, "said": o.said} for o in found.findings],
        "proof": _proof_document(found.proof),
        "advice": [_replay_document(replay) for replay in found.replays],
        "against": [_against_document(item) for item in against],
        "purchases": [_purchase_document(item) for item in arguments],
    }


def _purchase_document(item: Argument) -> dict[str, Any]:
    return {
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
