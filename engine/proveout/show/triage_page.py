"""A triage on one screen: how urgent, the verdict, what to do next, the leading causes, what to type."""

from __future__ import annotations

import shlex

from proveout.intake.telling import notes
from proveout.model.advice import INSPECT, MEND, REPAIR, WATCH, Hypothesis, Next, Triage
from proveout.model.atom import CANNOT_TELL
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.model.presence import WAYS
from proveout.record.documents import reasons
from proveout.show.cautions import caution_titles, remedy_said
from proveout.show.driving import deciding, heading
from proveout.show.figures import cause_title, minutes, money, percent, shortened
from proveout.show.page import BAD, DIM, GOOD, HEAD, NARROW, TYPED, WARN, Page, bar
from proveout.show.triage import headline, without_rules_lines
from proveout.text.lowered import lowered
from proveout.text.unhyphened import unhyphened

#: Lines of a screen; the causes take what the rest leaves, within these bounds.
SCREEN = 23
_FEWEST, _MOST = 3, 8
_LABEL = 10
#: Causes below this are counted, not named, unless they were inspected.
_LIKELY = 0.01
_DIRECT = {"failed": "shown", "passed": "not shown", "none": ""}
_SHOWN_RESULTS = 3
#: On a wide page a bar stands no further than this from where its title begins.
_LONGEST_TITLE = 60


def triage_page(
    triage: Triage, book: Book, width: int = 80, display: str = AS_WRITTEN, case: str = ""
) -> Page:
    """Return the page.

    Args:
        triage: the answer.
        book: the rules.
        width: columns; from 60 on it has no more lines than a screen.
        display: preference for units.
        case: name of the case file, for what to type; "" where nothing can be recorded.
    """
    page = _laid(triage, book, Page(width), display, case, results=True)
    if len(page.lines) > SCREEN:
        page = _laid(triage, book, Page(width), display, case, results=False)
    return page


def _laid(triage: Triage, book: Book, page: Page, display: str, case: str, *, results: bool) -> Page:
    """Lay the page out, with where the results of the next inspection would point or without."""
    end = Page(page.width)
    _driving(page, triage, book)
    page.lay(without_rules_lines(triage, page.width), WARN)
    _verdict(page, triage, book, display)
    if triage.next:
        _next(page, triage.next, book, triage.currency)
        if results or not triage.next.why:
            page.labelled("Results", _points(triage.next, book), _LABEL)
    if triage.ask is not None:
        page.labelled("Say", f"{triage.ask.text} {triage.ask.why}", _LABEL, WARN)
    _remedy(page, triage, book)
    _more(end, triage, display, case)
    if case:
        _typed(end, triage, book, case)
    room = SCREEN - len(page.lines) - len(end.lines) - 3
    _causes(page, triage, book, max(_FEWEST, min(_MOST, room)))
    page.lines += end.lines
    return page


def _driving(page: Page, triage: Triage, book: Book) -> None:
    """Say first what it means for driving on; all reasons and cautions in full stand in the whole text."""
    found = triage.driving_on
    role = {"stop": BAD, "to-a-garage": BAD, "soon": WARN}.get(found.do, DIM)
    page.wrap(heading(found), role=role)
    decided = deciding(found)
    if decided:
        page.wrap(f"{decided[0].because} ({decided[0].source})", "  ")
    titles = [book.words.cautions[name].title for one in found.held for name in one.cautions]
    if titles:
        page.wrap(f"! {'; '.join(dict.fromkeys(titles))}", "  ", role=WARN)


def _verdict(page: Page, triage: Triage, book: Book, display: str) -> None:
    said, lead = headline(triage, book), triage.hypotheses[0] if triage.hypotheses else None
    if triage.verdict.kind == INSPECT and lead:
        leads = f"“{cause_title(book, lead.cause)}” leads with {percent(lead.confidence)}"
        page.wrap(f"Nothing is proven yet; {leads}.", role=HEAD)
        return
    page.wrap(said, role=GOOD if triage.verdict.kind == REPAIR else HEAD)
    if found := reasons(triage, book, display):
        page.wrap(found[0], "  ")


def _next(page: Page, step: Next, book: Book, currency: str) -> None:
    inspection = book.inspections[step.inspection]
    tools = [book.words.tools[tool] for tool in inspection.tools]
    needs = ", ".join(lowered(tool.title) for tool in tools if not tool.basic) or "only the basics"
    page.line()
    again = "Again" if step.again else "Next"
    page.labelled(again, f"{inspection.title} ({step.inspection})", _LABEL, HEAD)
    page.labelled("Takes", f"{minutes(step.minutes)}, about {money(step.cost, currency)}; {needs}", _LABEL)
    if cautions := caution_titles(book, inspection):
        page.labelled("Cautions", "; ".join(cautions), _LABEL, WARN)
    if step.bring_on:
        page.labelled("Bring on", f"the fault while you do it: {WAYS[step.bring_on[0]]}", _LABEL, WARN)
    saves = f"It saves about {money(step.expected_saving, currency)} on average."
    why = " ".join(filter(None, [step.why, saves if step.expected_saving > 0 else ""]))
    if why:
        page.labelled("Why", why, _LABEL)


def _points(step: Next, book: Book) -> str:
    """Say to what the likeliest results of an inspection would point."""
    points: dict[str, list[str]] = {}
    for item in sorted(step.outcomes, key=lambda outcome: -outcome.probability)[:_SHOWN_RESULTS]:
        points.setdefault(item.leads_to, []).append(
            f"{unhyphened(item.result)} ({percent(item.probability)})"
        )
    return "; ".join(
        f"{' or '.join(results)} points to {lowered(cause_title(book, cause))}"
        for cause, results in points.items()
    )


def _remedy(page: Page, triage: Triage, book: Book) -> None:
    """Say in short what mends a cause that is proven or plainly broken."""
    if triage.verdict.kind not in (REPAIR, MEND) or not triage.verdict.cause:
        return
    remedy = book.causes[triage.verdict.cause].remedy
    page.line()
    page.labelled("Mends it", remedy_said(remedy, triage.currency), _LABEL, HEAD)
    if remedy.cautions:
        titles = "; ".join(book.words.cautions[key].title for key in remedy.cautions)
        page.labelled("Cautions", titles, _LABEL, WARN)


def _causes(page: Page, triage: Triage, book: Book, most: int) -> None:
    if not triage.hypotheses:
        return
    likely = sum(item.confidence >= _LIKELY or item.direct != "none" for item in triage.hypotheses)
    most = min(most, max(likely, _FEWEST))
    hidden = len(triage.hypotheses) - most
    page.line()
    more = (
        f", {hidden} more each below {percent(triage.hypotheses[most - 1].confidence)}" if hidden > 0 else ""
    )
    page.line((HEAD, "How the causes stand"), (DIM, more if page.width >= NARROW else ""))
    shown = triage.hypotheses[:most]
    notes_on = [_note(hypothesis) for hypothesis in shown]
    noted = max(len(note) + 1 if note else 0 for note in notes_on)
    for hypothesis, note in zip(shown, notes_on, strict=True):
        role = {"failed": BAD, "passed": GOOD}.get(hypothesis.direct, "")
        _bar_line(page, cause_title(book, hypothesis.cause), hypothesis.confidence, note, role, noted)
    _bar_line(page, "none of these", triage.not_in_book, "", DIM, noted)


def _note(hypothesis: Hypothesis) -> str:
    """Return the word that stands at the bar of a cause, or ""."""
    if hypothesis.mended:
        return "mended"
    return "replaced" if hypothesis.replaced else _DIRECT[hypothesis.direct]


def _bar_line(page: Page, title: str, share: float, note: str, role: str, noted: int) -> None:
    """Add a line with a title, its share in percent, a bar, and a word on it in ``noted`` columns."""
    columns = 16 if page.width >= 80 else 10 if page.width >= NARROW else 6
    room = min(page.width - columns - noted - 10, _LONGEST_TITLE)
    page.line(
        (role if role == DIM else "", f"  {shortened(title, room):<{room}} {percent(share):>5} "),
        (DIM if role == DIM else HEAD, f"{bar(share, columns):<{columns}}"),
        (role, f" {note}"),
    )


def _more(page: Page, triage: Triage, display: str, case: str) -> None:
    """Say what the whole page has besides."""
    said = (
        (len(notes(triage.sheet, display)), "note", "notes"),
        (len(triage.others), "further inspection", "further inspections"),
        (1 if triage.tool else 0, "tool worth buying", ""),
        (
            len(triage.sheet.unmatched) - len(triage.without_rules),
            "thing not understood",
            "things not understood",
        ),
    )
    found = [f"{count} {one if count == 1 else many}" for count, one, many in said if count > 0]
    page.line()
    if found:
        page.wrap(f"{', '.join(found)}: proveout triage {shlex.quote(case or 'CASE')} --full", role=DIM)


def _typed(page: Page, triage: Triage, book: Book, case: str) -> None:
    """Say which commands go on from here."""
    named = shlex.quote(case)
    if triage.next:
        inspection = book.inspections[triage.next.inspection]
        words = ", ".join([*(result.id for result in inspection.results), CANNOT_TELL])
        reading = inspection.reading
        _command(page, "How", f"proveout steps {named}")
        mark = " --fault present|absent" if triage.next.bring_on else ""
        _command(page, "Record", f"proveout record {named} {'READING' if reading else 'RESULT'}{mark}")
        indent = " " * (2 if page.width < NARROW else _LABEL)
        page.wrap(f"a {reading.quantity}, or {words}" if reading else words, indent)
        return
    if triage.is_blank:
        _command(page, "Add", f"proveout amend {named}")
        return
    _command(page, "Why", f"proveout why {named}")
    cause = triage.verdict.cause
    if triage.verdict.kind == REPAIR and cause:
        if book.causes[cause].remedy.part:
            _command(page, "Bought", f"proveout purchase {named} {cause} --cost AMOUNT")
        _command(page, "Mended", f"proveout repair {named} {cause}")
    if triage.verdict.kind == MEND:
        _command(page, "Mended", f"proveout mend {named} {cause}")
    if triage.verdict.kind == WATCH:
        _command(page, "Watched", f"proveout watch {named} stays-away")
        _command(page, "or", f"proveout watch {named} comes-back")


def _command(page: Page, label: str, command: str) -> None:
    """Add a command, which is never broken; where it does not fit beside its label, it stands below."""
    before = f"{label}: " if page.width < NARROW else label.ljust(_LABEL)
    if page.width < NARROW and len(before) + len(command) > page.width:
        page.line((DIM, before.rstrip()))
        before = "  "
    page.line((DIM, before), (TYPED, command))
