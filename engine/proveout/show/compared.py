"""What two books say of the same cases, as text, as a summary for a merge request, and as JSON."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from typing import Any

from proveout.show.figures import percent
from proveout.trial.compare import KINDS, Answer, Change, Compared

_WORDS = {
    "unreadable": "can be read with one of the books only",
    "verdict": "another verdict",
    "leading": "another likeliest cause",
    "next": "another next inspection",
    "confidence": "a confidence moved",
    "result": "another result or conclusion",
    "weight": "says more or less by itself",
}


def compared_text(found: Compared, unexpected: Collection[Change], most: int) -> str:
    """Return the changes in words, the gravest first, at most so many; what was not expected has a mark."""
    lines = [_count(found, unexpected)]
    for one in found.changes[:most]:
        kinds = ", ".join(_WORDS[kind] for kind in one.kinds)
        lines += ["", f"{'! ' if one in unexpected else ''}{one.case}: {kinds}"]
        lines += [f"  {line}" for line in _lines(one)]
    lines += _rest(found, most)
    return "\n".join(lines)


def compared_summary(found: Compared, unexpected: Collection[Change], most: int) -> str:
    """Return the same as a table in Markdown, fit for a merge request."""
    lines = [
        _count(found, unexpected),
        "",
        "| case | change | before | after | rules |",
        "|---|---|---|---|---|",
    ]
    for one in found.changes[:most]:
        rules = ", ".join(f"`{name}` {how}" for name, how in one.rules[:4]) or "-"
        case = f"**{one.case}**" if one in unexpected else one.case
        kinds = ", ".join(one.kinds)
        lines.append(f"| {case} | {kinds} | {_told(one, one.old)} | {_told(one, one.new)} | {rules} |")
    return "\n".join([*lines, *_rest(found, most)])


def compared_document(found: Compared, unexpected: Collection[Change]) -> dict[str, Any]:
    """Return the changes as a document of schema ``proveout/compared/2``."""
    return {
        "schema": "proveout/compared/2",
        "cases": found.cases,
        "facts": found.facts,
        "rules": found.rules,
        "changes": [
            {
                "case": one.case,
                "kinds": list(one.kinds),
                "expected": one not in unexpected,
                "old": _answer(one.old),
                "new": _answer(one.new),
                "moved": dict(zip(("cause", "old", "new"), one.moved, strict=True)),
                "rules": [{"id": name, "how": how} for name, how in one.rules],
            }
            for one in found.changes
        ],
    }


def _answer(answer: Answer) -> dict[str, Any]:
    kind, cause = answer.verdict
    return {
        "verdict": kind,
        "cause": cause,
        "leading": answer.leading,
        "next": answer.next,
        "wrong": answer.wrong,
    }


def _count(found: Compared, unexpected: Collection[Change]) -> str:
    counted = Counter(kind for one in found.changes for kind in one.kinds)
    kinds = ", ".join(f"{_WORDS[kind]} in {counted[kind]}" for kind in KINDS if counted[kind])
    asked = f" and {found.facts} single facts" if found.facts else ""
    total = (
        f"{found.cases} cases{asked} tried, {found.rules} rules differ; {len(found.changes)} answers changed"
    )
    rest = f", {len(unexpected)} of them not as expected" if len(unexpected) != len(found.changes) else ""
    return f"{total}{rest}" + (f": {kinds}." if kinds else ".")


def _lines(one: Change) -> list[str]:
    """Return what changed in one answer."""
    if one.old.wrong or one.new.wrong:
        return [f"before: {one.old.wrong or 'can be read'}", f"after: {one.new.wrong or 'can be read'}"]
    cause, before, after = one.moved
    lines = [
        f"{what}: {old} -> {new}"
        for what, old, new in (
            ("verdict", _verdict(one.old), _verdict(one.new)),
            ("likeliest", one.old.leading or "none", one.new.leading or "none"),
            ("next", one.old.next or "none", one.new.next or "none"),
        )
        if old != new
    ]
    if one.old.settled != one.new.settled:
        lines += [f"before: {_settled(one.old, one.new)}", f"after: {_settled(one.new, one.old)}"]
    if cause and before != after:
        lines.append(f"{cause}: {percent(before)} -> {percent(after)}{_times(one)}")
    lines += [f"by the rule {name} ({how})" for name, how in one.rules[:6]]
    return lines


def _settled(answer: Answer, other: Answer) -> str:
    """Return what only one answer settles."""
    return ", ".join(sorted(answer.settled - other.settled)) or "nothing"


def _times(one: Change) -> str:
    """Return by which factor the odds of the cause moved where a single fact says otherwise."""
    _, before, after = one.moved
    if "weight" not in one.kinds or not (0 < before < 1 and 0 < after < 1):
        return ""
    return f" (odds {after / (1 - after) / (before / (1 - before)):.2g} times)"


def _told(one: Change, answer: Answer) -> str:
    if answer.wrong:
        return answer.wrong.replace("|", "/")
    share = one.moved[1] if answer is one.old else one.moved[2]
    moved = f"{one.moved[0]} {percent(share)}" if one.moved[0] else ""
    if one.old.settled or one.new.settled or not answer.verdict[0]:
        other = one.new if answer is one.old else one.old
        return "; ".join(part for part in (", ".join(sorted(answer.settled - other.settled)), moved) if part)
    moved = moved and f"; {moved}"
    return f"{_verdict(answer)}, next {answer.next or 'none'}{moved}"


def _verdict(answer: Answer) -> str:
    return " ".join(part for part in answer.verdict if part)


def _rest(found: Compared, most: int) -> list[str]:
    left = len(found.changes) - most
    return ["", f"And {left} more: --most {len(found.changes)}."] if left > 0 else []
