"""The verdict in plain sentences: the deciding one first, then what is missing and what to repeat."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from proveout.intake.telling import said
from proveout.model.advice import INSPECT, MEND, NONE, REFER, REPAIR, WATCH, Hypothesis, Next, Verdict
from proveout.model.atom import (
    CANNOT_TELL,
    CODE,
    COMES_BACK,
    RESULT,
    STAYS_AWAY,
    Observable,
    Observation,
)
from proveout.model.atom import WATCH as WATCHED
from proveout.model.belief import Sensitivity
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.preference import AS_WRITTEN
from proveout.plan.contradictions import Contradiction
from proveout.plan.last_look import LastLook
from proveout.plan.mending import Mending, most
from proveout.plan.proof import clear_results, is_proven, threshold
from proveout.text.unhyphened import unhyphened

#: How long to watch at the least (common practice, no source).
WATCH_FOR = "for two weeks of usual driving, and until the monitor that set the code has run"


class Grounds(Struct, frozen=True):
    """Everything that a verdict rests on.

    Attributes:
        book, sheet, costs: the case and its prices.
        hypotheses: every cause in play, the most likely first.
        not_in_book: probability that it is none of them.
        sensitivity: what is at odds with the rest.
        next: the inspection that is worth its cost, or None.
        lacking: tools without which some inspection of this case cannot be made, sorted.
        mending: the defect to put right next, proven or not, or None.
        against: direct results that contradict what is proven and were not settled, or None.
        look: what to inspect before the part for what is proven is bought, which is ``next`` then, or None.
    """

    book: Book
    sheet: Sheet
    costs: Costs
    hypotheses: tuple[Hypothesis, ...]
    not_in_book: float
    sensitivity: Sensitivity
    next: Next | None
    lacking: tuple[str, ...]
    mending: Mending | None = None
    against: Contradiction | None = None
    look: LastLook | None = None


def verdict(grounds: Grounds) -> Verdict:
    """Say what to do now and why."""
    sound = [s for s in grounds.hypotheses if is_proven(grounds.book, s, grounds.costs)]
    if grounds.sheet.mended and grounds.sheet.mended[-1].since != COMES_BACK:
        kind, cause, reasons = _mended(grounds)
    elif not grounds.hypotheses:
        kind, cause, reasons = _nothing_in_play(grounds)
    elif grounds.mending is not None:
        kind, cause, reasons = _mend(grounds, grounds.mending)
    elif grounds.next is not None:
        kind, cause, reasons = _inspect(grounds, grounds.next, sound)
    elif sound:
        kind, cause, reasons = _proven(grounds, sound)
    else:
        kind, cause, reasons = _hand_over(grounds)
    return Verdict(kind, cause, (*reasons, *doubts(grounds.book, grounds.sheet, grounds.sensitivity)))


def worded(share: float) -> str:
    """Return a probability in whole percent, never as certain."""
    if share < 0.01:
        return "under 1 %"
    return "over 99 %" if share > 0.99 else f"{share * 100:.0f} %"


def in_currency(amount: float, costs: Costs) -> str:
    """Return a whole amount with its currency, or which it is meant to be in where none was named."""
    return f"{amount:.0f} {costs.currency or 'in your currency'}"


def _nothing_in_play(grounds: Grounds) -> tuple[str, str, list[str]]:
    """Without an abnormal observation that the book weighs there is nothing to look for, or nobody to ask."""
    codes = [o.observable.key for o in grounds.sheet.observations if _is_set_code(o)]
    if codes:
        what = f"The book has no rule for {_listed(codes)}"
        return (
            REFER,
            "",
            [f"{what}: it cannot say what is wrong, so have the code looked into by a specialist."],
        )
    if any(o.observable.kind == RESULT for o in grounds.sheet.observations):
        return NONE, "", ["Nothing abnormal has been found: no cause in the book is suspected."]
    return NONE, "", ["There is nothing to go on: no code, symptom or result that the book weighs was given."]


def _is_set_code(observation: Observation) -> bool:
    return observation.observable.kind == CODE and observation.decided == "set"


def _inspect(grounds: Grounds, step: Next, sound: list[Hypothesis]) -> tuple[str, str, list[str]]:
    title = grounds.book.inspections[step.inspection].title
    if grounds.against is not None and step.again:
        once_more = f"Make {_quoted(title)} once more before anything is bought or mended."
        return INSPECT, "", [_contradicted(grounds, grounds.against, sound[0]), once_more]
    less = in_currency(step.expected_saving, grounds.costs)
    saving = f"going on with it is expected to cost less than stopping here, by {less}"
    if step.again and step.bring_on:
        once_more = (
            f"Make {_quoted(title)} once more, this time while the fault is there: when it was made, "
            f"the fault may have been away; {saving}."
        )
        return INSPECT, "", [_not_proven(grounds), once_more, *_replaced(grounds)]
    if step.again:
        clear = step.inspection in clear_results(grounds.sheet)
        why = "everything else has been inspected, and it may have missed what is there"
        once_more = (
            f"Make {_quoted(title)} once more: {why if clear else 'it gave no clear result'}; {saving}."
        )
        return INSPECT, "", [_not_proven(grounds), once_more, *_replaced(grounds)]
    if grounds.look is not None:
        lead = next(s for s in sound if s.cause == grounds.look.cause)
        unsure = f"it may still be something else ({worded(1.0 - lead.part)})"
        first = f"before its part is bought, make {_quoted(title)}, which is cheap beside it"
        return INSPECT, "", [f"{_title(grounds, lead)} is as good as proven; {first}: {unsure}."]
    if sound:
        against = [_contradicted(grounds, grounds.against, sound[0])] if grounds.against else []
        nearly = f"{_title(grounds, sound[0])} is nearly proven, but {_quoted(title)} is worth its cost first"
        return INSPECT, "", [*against, f"{nearly}: {saving}."]
    return INSPECT, "", [_not_proven(grounds), f"{_quoted(title)} comes next: {saving}.", *_replaced(grounds)]


def _mend(grounds: Grounds, mending: Mending) -> tuple[str, str, list[str]]:
    """Say what to put right, that this is no proof, and how to watch."""
    book, costs = grounds.book, grounds.costs
    hypothesis = next(s for s in grounds.hypotheses if s.cause == mending.cause)
    unmet = [*_unmet(grounds, hypothesis)]
    proof = f"It is not proven to be the cause ({worded(hypothesis.confidence)})"
    proof += f": for that, {_listed(unmet)}" if unmet else ""
    return (
        MEND,
        mending.cause,
        [
            f"{_title(grounds, hypothesis)}: {_shown_by(grounds, hypothesis)}. What is plainly "
            "broken, cheap and harmless to put right is mended first (parts up to "
            f"{in_currency(most(costs), costs)}, {mending.minutes:.0f} minutes).",
            f"{proof}. Nothing else is to be bought on it.",
            f"{_action(book, hypothesis.cause)}, clear the codes, and watch {WATCH_FOR}; then record whether "
            "the trouble stays away.",
        ],
    )


def _action(book: Book, cause: str) -> str:
    """Return what mends a cause in a few words."""
    remedy = book.causes[cause].remedy
    what = f" ({remedy.part})" if remedy.part else ""
    return f"{remedy.action.replace('-', ' ').capitalize()} it{what}"


def _mended(grounds: Grounds) -> tuple[str, str, list[str]]:
    """Say what is awaited, or what came of it, after something was put right on trial."""
    last = grounds.sheet.mended[-1]
    entry = grounds.book.causes[last.cause]
    if last.since == STAYS_AWAY:
        sure = next((s.confidence for s in grounds.hypotheses if s.cause == last.cause), 0.0)
        return (
            NONE,
            last.cause,
            [
                f"{entry.title} was mended, and the trouble has stayed away since: with {worded(sure)} it "
                "was the cause, or part of it. Nothing more needs to be mended now.",
                "Should it return after all, record that; what is left is then looked for.",
            ],
        )
    return (
        WATCH,
        last.cause,
        [
            f"{entry.title} was mended. Clear the codes if that is still to be done, and watch {WATCH_FOR}.",
            "Then record whether the trouble stays away or comes back: it counts for and against.",
        ],
    )


def _proven(grounds: Grounds, sound: list[Hypothesis]) -> tuple[str, str, list[str]]:
    lead = sound[0]
    action = grounds.book.causes[lead.cause].remedy.action
    how = (
        f"{_proven_bad(grounds, lead)}, "
        f"{_shown_by(grounds, lead)}, and everything to be inspected before buying was inspected."
    )
    sound = [s for s in sound if s is lead or s.cause not in lead.counted]
    against = _against(grounds, lead)
    others = [f"{_title(grounds, s)} is proven as well ({worded(s.confidence)})." for s in sound[1:]]
    if action == "refer":
        return (
            REFER,
            lead.cause,
            [*against, how, "Mending it is work for a specialist, so refer it out.", *others],
        )
    if action == "nothing":
        return NONE, lead.cause, [*against, how, "Nothing needs to be mended now.", *others]
    again = ["The part was replaced before; here the one now fitted was inspected."] if lead.replaced else []
    return REPAIR, lead.cause, [*against, how, "No further inspection is worth its cost.", *again, *others]


def _contradicted(grounds: Grounds, found: Contradiction, lead: Hypothesis) -> str:
    """Say which direct results contradict each other."""
    inspections = grounds.book.inspections
    sound, shown = _quoted(inspections[found.sound].title), _quoted(inspections[found.shown].title)
    if found.sound == found.shown:
        told = f"{sound} contradicts itself: {found.before}, then {found.now}"
    else:
        told = f"{shown} shows it ({found.now}), but {sound}, which would miss it rarely, says {found.before}"
    return f"{_title(grounds, lead)} is in dispute: {told}. What comes out alike twice counts."


def _proven_bad(grounds: Grounds, lead: Hypothesis) -> str:
    """Say what is proven, and how sure: a cause, or a part of which the fault is less sure."""
    if not lead.counted or lead.part - lead.confidence < 0.01:
        return f"{_title(grounds, lead)} is proven: confidence {worded(lead.confidence)}"
    causes, sure = grounds.book.causes, {s.cause: s.confidence for s in grounds.hypotheses}
    faults = sorted((lead.cause, *lead.counted), key=lambda cause: (-sure.get(cause, 0.0), cause))[:3]
    named = _listed([f"{_quoted(causes[cause].title)} ({worded(sure.get(cause, 0.0))})" for cause in faults])
    part = causes[lead.cause].remedy.part
    return (
        f"What is bought is proven bad: {part}, confidence {worded(lead.part)}. Which fault in it is open "
        f"and makes no difference: {named}. One of them was shown"
    )


def _against(grounds: Grounds, hypothesis: Hypothesis) -> list[str]:
    """Name first what direct inspections say against a proven cause, and which to repeat."""
    clear, found = clear_results(grounds.sheet), []
    for check in grounds.book.proved_by.get(hypothesis.cause, ()):
        inspection = grounds.book.inspections[check]
        normal = any(result.normal for result in inspection.results if result.id == clear.get(check))
        if normal:
            again = (
                "it was made twice"
                if check in grounds.sheet.repeated
                else "repeat it before anything is bought"
            )
            title = _quoted(inspection.title)
            found.append(f"{title} would show it too and speaks against it ({clear[check]}): {again}.")
    before = dict(grounds.sheet.contrary)
    found += [
        f"{_quoted(grounds.book.inspections[check].title)} contradicts itself ({before[check]}, then "
        f"{clear[check]}): repeat it before anything is bought."
        for check in grounds.book.proved_by.get(hypothesis.cause, ())
        if check in before and check in clear
    ]
    return found


def _shown_by(grounds: Grounds, hypothesis: Hypothesis) -> str:
    """Name the direct inspections that showed a cause, with their results."""
    shown = [
        f"{_quoted(grounds.book.inspections[o.observable.key].title)} showed it "
        f"({_quoted(unhyphened(o.decided))})"
        for o in grounds.sheet.observations
        if o.observable.kind == RESULT
        and o.decided in grounds.book.inspections[o.observable.key].proves.get(hypothesis.cause, ())
    ]
    return _listed(shown)


def _hand_over(grounds: Grounds) -> tuple[str, str, list[str]]:
    price = in_currency(grounds.costs.refer_out, grounds.costs)
    why = f"no inspection that can be made here is worth its cost against handing the case over ({price})"
    reasons = [_not_proven(grounds), f"Refer it out: {why}."]
    if grounds.not_in_book >= max(s.confidence for s in grounds.hypotheses):
        share = worded(grounds.not_in_book)
        reasons.insert(
            1, f"Nothing in the book explains what was found: with {share} it is none of its causes."
        )
    if grounds.lacking:
        names = _listed([grounds.book.words.tools[tool].title.lower() for tool in grounds.lacking])
        reasons.append(f"Some inspections that bear on it were left out for want of tools: {names}.")
    return REFER, "", [*reasons, *_replaced(grounds)]


def _not_proven(grounds: Grounds) -> str:
    """Say of the leading cause which conditions of proof are not met."""
    lead = next((s for s in grounds.hypotheses if not s.mended), grounds.hypotheses[0])
    leader = f"{_quoted(_title(grounds, lead))} ({worded(lead.confidence)})"
    if grounds.not_in_book > lead.confidence:
        nothing = f"none of the book's causes ({worded(grounds.not_in_book)})"
        return f"Not proven yet: {nothing} is likelier than {leader}."
    return f"Not proven yet: {leader} leads, but {_listed(list(_unmet(grounds, lead)))}."


def _unmet(grounds: Grounds, hypothesis: Hypothesis) -> Iterable[str]:
    """Return the conditions of proof that a cause does not meet, in words."""
    if hypothesis.direct == "none":
        yield "no inspection has shown it directly"
    elif hypothesis.direct == "passed":
        yield "the inspection that would show it did not"
    asked = threshold(grounds.book.causes[hypothesis.cause], grounds.costs)
    if hypothesis.part < asked:
        yield f"proof asks for {asked * 100:g} %"
    if hypothesis.roots:
        names = [_quoted(grounds.book.causes[cause].title) for cause in hypothesis.roots]
        yield f"what was seen may be a consequence of {_listed(names)}, which must be inspected first"
    if hypothesis.missing:
        names = [_quoted(grounds.book.inspections[check].title) for check in hypothesis.missing]
        yield f"{_listed(names)} must give a clear result before anything is bought"


def _replaced(grounds: Grounds) -> list[str]:
    """Say that a replaced part is not blamed again without being inspected itself."""
    causes = grounds.book.causes
    again = [causes[s.cause].component for s in grounds.hypotheses if s.replaced and s.direct != "failed"]
    parts = grounds.book.words.components
    return [
        f"{parts[name].title}: replaced already, so it counts as unlikely and is named only if a direct "
        "inspection of the one now fitted shows it."
        for name in dict.fromkeys(again)
    ]


def doubts(book: Book, sheet: Sheet, sensitivity: Sensitivity, display: str = AS_WRITTEN) -> list[str]:
    """Return what contradicts the rest, what told nothing and what was too near a limit, in sentences.

    They end the reasons of every verdict. Units by preference.
    """
    found = [
        f"{_name(book, s.observable)} ({said(sheet, s.observable, display) or s.said}) is at odds with "
        f"everything else ({worded(s.expected)} expected): {_again(book, s.observable)}."
        for s in sensitivity.surprises
    ]
    alone = {read.inspection for read in sheet.readings if read.own_alone}
    for o in sheet.observations:
        if o.observable.kind == RESULT and o.decided == CANNOT_TELL:
            found.append(
                f"{_name(book, o.observable)} told nothing; it counts only when repeated with a result."
            )
        elif o.observable.kind == RESULT and o.decided is None:
            how = f"{_name(book, o.observable)} ({said(sheet, o.observable, display)})"
            if o.observable.key in alone:
                found.append(f"{how} shows a fault by own figures alone, and so is no proof.")
            else:
                found.append(f"{how} was too near its limit to count as proof.")
    return found


def _again(book: Book, observable: Observable) -> str:
    """Say what is most probably wrong with what does not fit: what was seen plainly is there all the same."""
    if observable.kind == WATCHED:
        return "the fault may come and go, or the mending may not have held"
    if observable.kind == RESULT and _plain(book, observable.key):
        return "what was seen is there all the same, so look for a second fault beside it"
    if observable.kind == RESULT:
        return "repeat it before trusting it"
    return "clear it and see whether it returns" if observable.kind == CODE else "make sure of it again"


def _plain(book: Book, check: str) -> bool:
    """Say whether an inspection is a look that shows some cause directly."""
    entry = book.inspections.get(check)
    return entry is not None and entry.kind == "visual" and bool(entry.proves)


def _name(book: Book, observable: Observable) -> str:
    """Return what an observable is called."""
    words, (kind, key) = book.words, observable
    if kind == WATCHED:
        return f"What came of mending {_quoted(book.causes[key].title)}"
    if kind == RESULT and key in book.inspections:
        return _quoted(book.inspections[key].title)
    for terms in (words.symptoms, words.circumstances, words.findings):
        if kind != CODE and key in terms:
            return _quoted(terms[key].title)
    return f"Code {key}" if kind == CODE else key


def _title(grounds: Grounds, hypothesis: Hypothesis) -> str:
    """Return the title of a cause."""
    return grounds.book.causes[hypothesis.cause].title


def _quoted(title: str) -> str:
    return f"“{title}”"


def _listed(parts: list[str]) -> str:
    """Join with commas and a last ``and``."""
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]
