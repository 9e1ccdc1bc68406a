"""The argument for a purchase, in words a customer understands or in full for an expert."""

from __future__ import annotations

from proveout.audit.argument import Argument, RuleUsed
from proveout.intake.called import evidence_said, observable_title
from proveout.intake.telling import notes
from proveout.intake.telling import said as said_of
from proveout.model.preference import AS_WRITTEN
from proveout.model.rule import Rule
from proveout.record.documents import reasons
from proveout.show.figures import cause_title, money, percent, wrapped
from proveout.text.lowered import lowered

_DIRECT = {
    "failed": "an inspection showed it directly",
    "passed": "the inspection that shows it came out sound",
    "none": "no inspection had shown it directly",
}
#: What each verdict had said, for a purchase against it.
_ADVISED = {
    "inspect": "to inspect further, as nothing was proven yet",
    "repair": "to repair",
    "refer": "to hand the case over to a specialist",
    "none": "that nothing needs mending",
    "mend": "to put right a plain defect and watch",
    "watch": "to watch what comes of a defect put right",
}


def against_text(item: Argument) -> str:
    """Say that a part was bought against the advice, what that was, and the reason given; "" where not."""
    if not item.against_verdict:
        return ""
    reason = f"The reason given: {item.bought.reason}." if item.bought.reason else "No reason is given."
    reason = reason.replace("..", ".")
    if item.voided:
        return f"It was bought before there was advice on what was left after the repair. {reason}"
    verdict = item.answer.verdict
    named = f": {lowered(cause_title(item.book, verdict.cause))}" if verdict.cause else ""
    return f"It was bought against the advice, which was {_ADVISED[verdict.kind]}{named}. {reason}"


def argument_text(
    item: Argument, full: bool, width: int = 80, display: str = AS_WRITTEN, *, told: bool = False
) -> str:
    """Return the argument for a purchase.

    Args:
        item: the argument.
        full: with ledger, rules, frequencies and sources.
        width: columns.
        display: preference for units.
        told: whether a story has told already what was bought, and that it was against the advice.
    """
    what = f"{item.bought.part} for {money(item.bought.cost, item.answer.currency)}, bought for: {item.title}"
    lines = [] if told else wrapped(what, width)
    sure = f"It was {percent(item.confidence)} sure, and {_DIRECT[item.direct]}."
    lines += wrapped(sure, width, "  ")
    if not told and (against := against_text(item)):
        lines += wrapped(against, width, "  ")
    for reason in reasons(item.answer, item.book, display):
        lines += wrapped(reason, width, "  ")
    lines += _seen_lines(item, width, display)
    if item.alternatives:
        lines.append("  What else it could have been")
    for other in item.alternatives if full else item.alternatives[:5]:
        said = f"{other.title} ({percent(other.confidence)}): {other.why}"
        lines += wrapped(said, width, "    - ", "      ")
    if len(item.alternatives) > 5 and not full:
        lines.append(f"    - and {len(item.alternatives) - 5} more, all with their reasons: --full")
    lines += _unchecked_lines(item, full, width)
    lines += _full_lines(item, width) if full else []
    for reminder in item.warranty:
        lines += wrapped(f"{reminder.term.title}: {reminder.stands} ({reminder.why})", width, "  ", "    ")
    return "\n".join(lines)


def _seen_lines(item: Argument, width: int, display: str) -> list[str]:
    sheet = item.answer.sheet
    lines = ["  What was seen"]
    for seen in sheet.observations:
        how = said_of(sheet, seen.observable, display) or " or ".join(state for state, _ in seen.states)
        what = observable_title(item.book, seen.observable)
        lines += wrapped(f"{what}: {how}", width, "    - ", "      ")
    for note in notes(sheet, display):
        lines += wrapped(note, width, "    ")
    return lines


def _unchecked_lines(item: Argument, full: bool, width: int) -> list[str]:
    missing = [entry for entry in item.unchecked if full or entry.required]
    lines = ["  What was not inspected"] if missing else []
    for entry in missing:
        due = "due before buying" if entry.required else f"would show {cause_title(item.book, entry.cause)}"
        made = "; made before, of a part that was replaced since" if entry.formerly else ""
        lines += wrapped(f"{entry.title} ({due}{made})", width, "    - ", "      ")
    return lines


def _full_lines(item: Argument, width: int) -> list[str]:
    lines = ["  Ledger (decibans)"]
    for line in item.ledger:
        told = f"{evidence_said(item.book, line.what, line.said)} {', '.join(line.rules)}"
        lines += wrapped(told, width, f"    {line.decibans:+8.2f}  ")
    lines.append("  Rules")
    for used in item.rules:
        lines += wrapped(_rule_said(used), width, "    ", "      ")
        lines += wrapped(_figures_said(used), width, "      ")
    lines.append(f"  None of the causes in play: {percent(item.answer.not_in_book)}")
    return lines


def _rule_said(used: RuleUsed) -> str:
    rule = used.rule
    mark = "in the ledger" if used.in_ledger else used.by or f"concluded {rule.concludes}"
    return f"{rule.id} ({rule.place}, layer {rule.layer}; {mark}): {rule.because}"


def _figures_said(used: RuleUsed) -> str:
    """Return the frequencies that a rule states, and where they come from."""
    stated = frequencies_said(used.rule)
    seen = f"seen with {stated}; " if stated else ""
    return f"{seen}source: {used.rule.source}"


def frequencies_said(rule: Rule) -> str:
    """Return the frequencies that a rule states; "" for one that concludes a finding."""
    stated = [f"{cause} {share:g}" for cause, share in sorted(rule.weights.items())]
    stated += [f"otherwise {rule.otherwise:g}"] if rule.otherwise is not None else []
    return ", ".join(stated)
