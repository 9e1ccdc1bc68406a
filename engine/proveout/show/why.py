"""Why a cause stands where it does: ledger, rules, what was set aside, what would change the answer."""

from __future__ import annotations

from collections.abc import Mapping
from math import log10

from proveout.intake.called import evidence_said, observable_title
from proveout.intake.telling import said as said_of
from proveout.model.advice import Hypothesis, Triage
from proveout.model.atom import RESULT
from proveout.model.belief import Ledger
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.chained import Fired
from proveout.model.preference import AS_WRITTEN
from proveout.model.presence import MARKS, UNKNOWN
from proveout.model.rule import Rule
from proveout.model.trace import GAVE_WAY, OVERRULED, Silent
from proveout.plan.proof import clear_results
from proveout.show.figures import atom_said, cause_title, percent, wrapped
from proveout.show.rates import rate_doubt
from proveout.show.triage import headline
from proveout.text.lowered import lowered
from proveout.text.unhyphened import unhyphened
from proveout.weigh.history import factors
from proveout.weigh.presence import Presence


def _odds_percent(decibans: float) -> str:
    return percent(1 / (1 + 10 ** (-decibans / 10)))


def _where(rule: Rule, cause: str = "") -> str:
    """Return a rule's id and place; with a cause also where its frequency stands, if that is elsewhere."""
    layer = "" if rule.layer == "book" else f", layer {rule.layer}"
    own = f"; its frequency: {rule.elsewhere[cause]}" if cause in rule.elsewhere else ""
    return f"{rule.id} ({rule.place}{layer}{own})"


def ledger_lines(ledger: Ledger, book: Book, width: int, read: Mapping[str, str]) -> list[str]:
    """Return the ledger as a column in decibans with the running confidence beside it.

    ``read`` maps what was looked at to the reading behind it, where there is one.
    """
    lines = ["  decibans  confidence  evidence"]
    running = 0.0
    for entry in ledger.entries:
        running += entry.decibans
        said = evidence_said(book, entry.what, entry.said)
        said += f"; read: {read[entry.what]}" if entry.what in read else ""
        head = f"  {entry.decibans:+8.2f}  {_odds_percent(running):>10}  "
        lines += wrapped(said, width, head)
        if entry.eased:
            lines += wrapped(f"eased: {entry.eased}", width, " " * 24)
        for rule in entry.rules:
            if rule in book.rules:
                lines += wrapped(f"rule {_where(book.rules[rule], ledger.cause)}", width, " " * 24)
    lines.append(f"  {ledger.total:+8.2f}  {_odds_percent(ledger.total):>10}  in all")
    return lines


def _fired_lines(fired: Fired, book: Book, width: int) -> list[str]:
    rule = book.rules[fired.rule]
    seen = ", ".join(atom_said(book, atom) for atom in fired.matched)
    so = f"{seen}, so: {book.words.findings[fired.concludes].title}"
    lead = "  " * (fired.depth + 1)
    return [
        *wrapped(f"{_where(rule)}: {so}", width, lead, lead + "  "),
        *wrapped(rule.because, width, lead + "  "),
    ]


def _finding_lines(triage: Triage, book: Book, width: int) -> list[str]:
    """Return the chain of findings, each a step further in than those it rests on."""
    concluding = [fired for fired in triage.chained.fired if fired.concludes]
    lines = ["", "What follows from what was given"] if concluding else []
    for fired in concluding:
        lines += _fired_lines(fired, book, width)
    return lines


def _spoken_lines(triage: Triage, cause: str, book: Book, width: int) -> list[str]:
    """Return the rules of a cause's ledger."""
    speaking = sorted({one.rule for one in triage.spoken if cause in one.figures or one.background})
    held = {fired.rule for fired in triage.chained.fired}
    lines = ["", "Rules that spoke"] if speaking else []
    for name in speaking:
        rule = book.rules[name]
        unseen = ""
        if name not in held and rule.observes is not None:
            unseen = f": “{atom_said(book, rule.observes)}” is not what was seen"
        lines += wrapped(f"{_where(rule)}{unseen}", width, "  ", "    ")
        lines += wrapped(rule.because, width, "    ")
    return lines


def _silent_lines(triage: Triage, cause: str, book: Book, width: int) -> list[str]:
    """Return the rules that hold and of whose figures one that bears on the cause does not count."""
    lines = ["", "Rules that hold and did not speak"]
    for one in triage.silent:
        if cause in one.causes:
            lines += wrapped(_silence(one, book, "on this cause"), width, "  ", "    ")
        elif one.background:
            lines += wrapped(_silence(one, book, "on the background"), width, "  ", "    ")
    return lines if len(lines) > 2 else []


def _silence(silent: Silent, book: Book, what: str) -> str:
    """Say why a rule did not speak."""
    where = _where(book.rules[silent.rule])
    if silent.how == OVERRULED:
        return f"{where}: {what} the more specific {_where(book.rules[silent.by])} spoke"
    finding = book.words.findings[silent.by].title
    if silent.how == GAVE_WAY:
        return f"{where}: {what} “{finding}” spoke, which rests on more of the same"
    return f"{where}: {what} “{finding}” spoke for what it observes"


def _aside(hypothesis: Hypothesis, book: Book) -> str:
    how = {
        "passed": "its direct inspection came out sound",
        "failed": "shown directly, and stands beside this one",
        "none": "not inspected directly; less likely on the evidence",
    }[hypothesis.direct]
    return f"{cause_title(book, hypothesis.cause)} ({percent(hypothesis.confidence)}): {how}"


def _aside_lines(triage: Triage, cause: str, book: Book, width: int) -> list[str]:
    others = [hypothesis for hypothesis in triage.hypotheses if hypothesis.cause != cause]
    if not others:
        return []
    lines = ["", "Considered besides"]
    for hypothesis in others[:10]:
        lines += wrapped(_aside(hypothesis, book), width, "  ", "    ")
    return lines


def _proof_lines(triage: Triage, hypothesis: Hypothesis, book: Book, width: int) -> list[str]:
    lines = ["", "Proof"]
    for said in _direct(triage.sheet, hypothesis.cause, book):
        lines += wrapped(said, width, "  ")
    if hypothesis.missing:
        missing = ", ".join(book.inspections[key].title for key in hypothesis.missing)
        lines += wrapped(f"Still to be inspected before a part is bought: {missing}.", width, "  ")
    return lines


def _direct(sheet: Sheet, cause: str, book: Book) -> list[str]:
    """Say of each inspection that can show a cause directly whether it was made, and what it showed."""
    made = {one.observable.key: one.states for one in sheet.observations if one.observable.kind == RESULT}
    shown, sound, undecided, left = [], [], [], []
    for name in book.proved_by.get(cause, ()):
        entry = book.inspections[name]
        states = {state for state, _ in made.get(name, ())}
        if not states:
            left.append(entry.title)
        elif states <= set(entry.proves[cause]):
            shown.append(entry.title)
        elif states <= {result.id for result in entry.results if result.normal}:
            sound.append(entry.title)
        else:
            undecided.append(entry.title)
    told = (
        ("Shown directly by", shown),
        ("Came out sound", sound),
        ("Made, and shows neither", undecided),
        ("Not made", left),
    )
    return [f"{lead}: {', '.join(titles)}." for lead, titles in told if titles]


def _change_lines(triage: Triage, book: Book, width: int, display: str) -> list[str]:
    lines = ["", "What would change the answer"]
    for observable, leader, confidence in triage.sensitivity.pivots:
        said = (
            f"Without “{observable_title(book, observable)}”, the lead goes to "
            f"{lowered(cause_title(book, leader))} ({percent(confidence)})."
        )
        lines += wrapped(said, width, "  ")
    for surprise in triage.sensitivity.surprises:
        how = said_of(triage.sheet, surprise.observable, display) or surprise.said
        said = (
            f"{observable_title(book, surprise.observable)} ({how}) is at odds with the rest "
            f"(expected in {percent(surprise.expected)} of such cases): repeat it."
        )
        lines += wrapped(said, width, "  ")
    if triage.next:
        title = book.inspections[triage.next.inspection].title
        for outcome in triage.next.outcomes:
            said = (
                f"{title}: {unhyphened(outcome.result)} ({percent(outcome.probability)}) would point to "
                f"{lowered(cause_title(book, outcome.leads_to))}."
            )
            lines += wrapped(said, width, "  ", "    ")
    return lines if len(lines) > 2 else [*lines, "  No single observation would."]


def _left_out_lines(triage: Triage, width: int) -> list[str]:
    """Return what planning left out, which the confidences count in full; nothing where it was nothing."""
    if triage.left_out <= 0:
        return []
    share = "less than 0.1 %" if triage.left_out < 0.001 else f"{triage.left_out * 100:.1f} %"
    said = (
        "Confidences count every set of causes that is considered. What to do next was worked out without "
        f"the least likely ones, which together have {share} of the probability."
    )
    return ["", *wrapped(said, width)]


def _readings(triage: Triage, display: str) -> dict[str, str]:
    """Return what was read for each inspection of which a reading, not a word, was recorded."""
    return {
        str(seen.observable): said_of(triage.sheet, seen.observable, display)
        for seen in triage.sheet.observations
        if seen.observable.kind == RESULT and seen.said not in {state for state, _ in seen.states}
    }


def _history_lines(triage: Triage, book: Book, cause: str, width: int) -> list[str]:
    """Say what the history does to the odds before the evidence, which the ledger begins with."""
    found = factors(book, cause, triage.sheet)
    lines = ["", "What its history does to the odds before the evidence"] if found else []
    for one in found:
        lines += wrapped(f"{one.times:g} times, since {one.why} (from memory)", width, "  ", "    ")
    return lines


def _presence_lines(triage: Triage, book: Book, cause: str, width: int) -> list[str]:
    """Say which good readings count little against a cause that comes and goes."""
    presence = Presence(book, triage.sheet)
    clear = clear_results(triage.sheet)
    lines = []
    for check in sorted(clear):
        entry = book.inspections[check]
        share = presence.seen(check, cause)
        if share < 1.0 and entry.result(clear[check]).normal:
            mark = MARKS[dict(triage.sheet.presence).get(check, UNKNOWN)]
            said = f"{entry.title} was made {mark}: with {percent(share)} it was there to be seen"
            lines += wrapped(
                f"{said}, and only so far does the good result count against it.", width, "  ", "    "
            )
    ways = ", ".join(sorted(book.causes[cause].comes_with))
    return ["", f"It can come and go (with {ways})", *lines] if lines else []


def why_text(triage: Triage, book: Book, cause: str, width: int = 80, display: str = AS_WRITTEN) -> str:
    """Return the whole argument for or against one cause that is in play, units by preference.

    Raises:
        KeyError: the cause is not in play.
    """
    hypothesis = next((item for item in triage.hypotheses if item.cause == cause), None)
    ledger = next((item for item in triage.ledgers if item.cause == cause), None)
    if hypothesis is None or ledger is None:
        raise KeyError(cause)
    entry = book.causes[cause]
    lines = [f"{entry.title}: {percent(hypothesis.confidence)}", f"Verdict now: {headline(triage, book)}", ""]
    prior = 10 * log10(entry.base_rate / (1 - entry.base_rate))
    lines += ["Ledger", *ledger_lines(ledger, book, width, _readings(triage, display))]
    lines += wrapped(
        f"The book's base rate is {entry.base_rate * 1000:g} per 1000 jobs ({prior:+.2f} decibans; "
        f"{entry.base_rate_source}; {entry.place}). {rate_doubt(triage, book, cause)}",
        width,
        "  ",
    )
    lines += _history_lines(triage, book, cause, width)
    lines += _presence_lines(triage, book, cause, width)
    lines += _finding_lines(triage, book, width)
    lines += _spoken_lines(triage, cause, book, width)
    lines += _silent_lines(triage, cause, book, width)
    lines += _proof_lines(triage, hypothesis, book, width)
    lines += _aside_lines(triage, cause, book, width)
    lines += _change_lines(triage, book, width, display)
    lines += _left_out_lines(triage, width)
    lines += ["", f"Book {triage.book_digest[:16]}, chained by {triage.engine}."]
    return "\n".join(lines)
