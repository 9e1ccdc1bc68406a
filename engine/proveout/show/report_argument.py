"""The second part of a report: the confidence, the evidence, what guessing would have cost."""

from __future__ import annotations

from html import escape

from proveout.app.story import Story
from proveout.intake.called import evidence_said, observable_title
from proveout.intake.telling import notes, reading_notes, said
from proveout.measure.display import show_figure
from proveout.measure.judging import Judged
from proveout.model.atom import Observable
from proveout.record.closing import is_closed
from proveout.record.documents import reasons
from proveout.show.chapters import heading, known, sentences
from proveout.show.drawing import bars_svg, course_svg, ledger_svg
from proveout.show.drawing_graph import argument_svg
from proveout.show.figures import cause_title, percent
from proveout.show.html import items, paragraphs, table, wide
from proveout.show.pictures import drawn_leads
from proveout.show.report_customer import money_compared, money_drawn
from proveout.show.series import series_svg
from proveout.show.triage import headline
from proveout.text.unhyphened import unhyphened

_DIRECT = {
    "failed": "shown directly",
    "passed": "an inspection did not show it",
    "none": "not inspected directly",
}
#: Causes below this are counted, not listed, unless they were inspected.
_LIKELY = 0.01
_LINES = 4


def argument_part(story: Story, display: str) -> str:
    """Return the argument, on sheets of its own."""
    answer, book = story.answer, story.book
    before = "Before it was closed: " if is_closed(story.events) else ""
    return (
        '<section class="sheet"><h1>The argument</h1>'
        + f'<p class="said"><b>{escape(before + headline(answer, book))}</b></p>'
        + paragraphs(reasons(answer, book, display))
        + _story(story, display)
        + _graph(story)
        + _course(story, display)
        + _seen(story, display)
        + _readings(story, display)
        + _causes(story)
        + _ledger(story)
        + _followed(story)
        + _money(story)
        + "</section>"
    )


def _story(story: Story, display: str) -> str:
    """Return the case repair by repair, each event with its day."""
    parts = []
    for chapter in story.chapters:
        if not chapter.steps:
            continue
        told = [
            f"{step.event.at[:10]}{f', {step.event.by}' if step.event.by else ''}: "
            + " ".join(sentences(step, display))
            for step in chapter.steps
        ]
        start = known(chapter, chapter.steps[0].book)
        parts.append(f"<h3>{escape(heading(chapter))}</h3>{paragraphs(start)}{items(told)}")
    return f"<h2>What was done and why</h2>{''.join(parts)}" if parts else ""


def _graph(story: Story) -> str:
    """Return the drawing from what was seen to the cause; what is drawn is said by the ledger below."""
    cause = story.cause or (story.answer.hypotheses[0].cause if story.answer.hypotheses else "")
    drawn = argument_svg(story.answer, story.book, cause)
    return f"<h2>From what was seen to the cause</h2>{wide(drawn)}" if drawn else ""


def _course(story: Story, display: str) -> str:
    last = story.course[-1].confidence if story.course else {}
    leading = sorted(last, key=lambda cause: -last[cause])[:_LINES]
    if story.cause in last and story.cause not in leading:
        leading = [story.cause, *leading[: _LINES - 1]]
    titles = {cause: cause_title(story.book, cause) for cause in leading if cause in story.book.causes}
    moments = [(str(number), moment.confidence) for number, moment in enumerate(story.course, start=1)]
    drawn = course_svg(titles, moments)
    if not drawn:
        return ""
    return f"<h2>How the confidence went</h2>{wide(drawn)}{items(_came_before(story, display), ordered=True)}"


def _came_before(story: Story, display: str) -> list[str]:
    """Return for each moment of the course what had been done right before it."""
    steps = {step.event.n: step for chapter in story.chapters for step in chapter.steps}
    told, last = [], -1
    for moment in story.course:
        done = max((n for n in steps if n < moment.number), default=0)
        said = sentences(steps[done], display)[0] if done else "The case was opened."
        told.append(said if done != last else "The same advised anew.")
        last = done
    return told


def _seen(story: Story, display: str) -> str:
    sheet = story.answer.sheet
    rows = [
        (
            observable_title(story.book, seen.observable),
            unhyphened(said(sheet, seen.observable, display) or seen.states[0][0]),
        )
        for seen in sheet.observations
    ]
    told = reading_notes(sheet.readings, display) if story.redacted else notes(sheet, display)
    return (
        "<h2>What was seen</h2>" + table(("what", "how it came out"), rows) + paragraphs(told) if rows else ""
    )


def _readings(story: Story, display: str) -> str:
    """Return the figures computed from readings, under the drawing where it was a series."""
    parts = []
    for read in story.answer.sheet.readings:
        title, judged = read.title, read.told
        if not isinstance(judged, Judged):
            continue
        picture = drawn_leads(story.book, story.book.inspections[read.inspection])
        shown = picture.svg if picture else ""
        rows = [(f.name, show_figure(f.value, f.unit, f.uncertainty, display)) for f in judged.derived]
        drawn = series_svg(judged.study, title, display) if judged.study else ""
        if rows or drawn or shown:
            parts.append(f"<h3>{escape(title)}</h3>{shown}{wide(drawn)}")
            parts.append(table(("figure", "value ± standard uncertainty"), rows))
    return "".join(parts)


def _causes(story: Story) -> str:
    hypotheses = story.answer.hypotheses
    shown = [item for item in hypotheses if item.confidence >= _LIKELY or item.direct != "none"]
    rows = [(cause_title(story.book, s.cause), percent(s.confidence), _DIRECT[s.direct]) for s in shown]
    if len(shown) < len(hypotheses):
        rest = sum(item.confidence for item in hypotheses if item not in shown)
        rows.append((f"{len(hypotheses) - len(shown)} more, together", percent(rest), "none of them likely"))
    rows.append(("None of these", percent(story.answer.not_in_book), ""))
    if not hypotheses:
        return ""
    return "<h2>How the causes stand</h2>" + table(("cause", "confidence", ""), rows, frozenset({1}))


def _ledger(story: Story) -> str:
    ledgers = {ledger.cause: ledger for ledger in story.answer.ledgers}
    ledger = ledgers.get(story.cause) or (story.answer.ledgers[0] if story.answer.ledgers else None)
    if ledger is None:
        return ""
    entries = [(evidence_said(story.book, entry.what, entry.said), entry) for entry in ledger.entries]
    return (
        f"<h2>What the evidence weighs: {escape(cause_title(story.book, ledger.cause))}</h2>"
        + wide(ledger_svg(entries, ledger.total))
        + paragraphs(
            ["Decibans: ten times the decimal logarithm of the change of the odds; 0 is an even chance."],
            "small soft",
        )
    )


def _followed(story: Story) -> str:
    """Return the findings that rules concluded, each from what it rests on."""
    told = []
    for fired in story.answer.chained.fired:
        if fired.concludes:
            rests = " and ".join(
                observable_title(story.book, Observable(atom.kind, atom.key)) for atom in fired.matched
            )
            title = story.book.words.findings[fired.concludes].title
            told.append(f"{rests} → {title}: {story.book.rules[fired.rule].because}")
    return "<h2>What follows from it</h2>" + items(told) if told else ""


def _money(story: Story) -> str:
    if story.spent.guessed is None or not story.spent.looked:
        return ""
    unit = story.spent.currency or "your currency"
    return (
        "<h2>Money spent, and what guessing was expected to cost</h2>"
        + wide(bars_svg(money_drawn(story.spent), story.spent.currency))
        + table(("", unit), money_compared(story.spent), frozenset({1}))
        + paragraphs(
            [
                f"An hour counts {story.spent.per_hour:g}. Guessing is reckoned from the confidences of the "
                "first advice, with the middle of each part's price; it is a yardstick, not a bill."
            ],
            "small soft",
        )
    )
