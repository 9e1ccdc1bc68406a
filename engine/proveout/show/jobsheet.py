"""A sheet for under the car: the next inspections with cautions, steps, leads, limits, blanks."""

from __future__ import annotations

from html import escape

from proveout.app.story import Story
from proveout.intake.readings import own_limits
from proveout.measure.display import scale_of
from proveout.model.entries import Inspection
from proveout.model.preference import AS_WRITTEN
from proveout.show.cautions import caution_texts
from proveout.show.figures import minutes
from proveout.show.html import document, facts, items, paragraphs, table
from proveout.show.inspection import DEFERENCE, band_text
from proveout.show.report_customer import title_of

#: Inspections on one job sheet at most: the next one and the best of the others.
_MOST = 4


def job_sheet_html(story: Story, display: str = AS_WRITTEN) -> str:
    """Return the sheet; each inspection begins on a page of its own."""
    answer = story.answer
    names = [step.inspection for step in (answer.next, *answer.others) if step][:_MOST]
    if not names:
        parts = [
            paragraphs(["Nothing further is worth inspecting in this case.", *answer.verdict.reasons[:1]])
        ]
    else:
        parts = [_one(story, story.book.inspections[name], display) for name in dict.fromkeys(names)]
    return document(f"Job sheet: {title_of(story)}", parts)


def _one(story: Story, entry: Inspection, display: str) -> str:
    """Return the sheet of one inspection: cautions stand before everything that is done."""
    words, about = story.book.words, story.document.get("about", {})
    cautions = [
        f"<p><b>{escape(title)}</b>: {escape(text)}</p>" for title, text in caution_texts(story.book, entry)
    ]
    head = facts(
        [
            ("Vehicle", str(about.get("vehicle", ""))),
            ("Plate", str(about.get("plate", ""))),
            ("Job", str(about.get("job", ""))),
            ("Time", minutes(entry.minutes)),
            ("Tools", ", ".join(words.tools[key].title for key in entry.tools) or "only the basics"),
            ("Where", ", ".join(words.access[key].title for key in entry.access)),
        ]
    )
    leads = f"<h3>Leads</h3>{paragraphs([entry.leads])}" if entry.leads else ""
    steps = "".join(f'<li><span class="box"></span>{escape(step)}</li>' for step in entry.steps)
    return (
        f'<section class="sheet"><h1>{escape(entry.title)}</h1>{head}'
        f'<div class="warn">{"".join(cautions)}<p>{escape(DEFERENCE)}</p></div>'
        f"{leads}<h3>Steps</h3><ol>{steps}</ol>{_expected(story, entry, display)}{_blanks(entry)}"
        + ("<h3>How it can mislead</h3>" + items(entry.false_readings) if entry.false_readings else "")
        + "</section>"
    )


def _expected(story: Story, entry: Inspection, display: str) -> str:
    """Return what each result means, with the limits where a value is read."""
    bands: dict[str, list[str]] = {}
    if entry.reading:
        own = own_limits(entry.id, story.case, story.book)
        scale = scale_of(entry.reading, display)
        for band in (own.spec if own else entry.reading).bands:
            bands.setdefault(band.result, []).append(band_text(band, scale))
    rows = [(result.id, ", ".join(bands.get(result.id, [])), result.means) for result in entry.results]
    if not bands:
        return "<h3>What to expect</h3>" + table(("result", "means"), [(row[0], row[2]) for row in rows])
    return "<h3>What to expect</h3>" + table(("result", "limits", "means"), rows)


def _blanks(entry: Inspection) -> str:
    unit = f" {escape(entry.reading.unit)}" if entry.reading else ""
    pairs = (entry.reading.series.at_least + 1) if entry.reading and entry.reading.series else 1
    read = (
        f'Read: <span class="blank"></span>{unit}' if entry.reading else 'Result: <span class="blank"></span>'
    )
    metered = 'Meter: <span class="blank"></span> Under: <span class="blank"></span> ' if unit else ""
    lines = "".join(f"<p>{read}</p>" for _ in range(pairs))
    return (
        f"<h3>What it gave</h3>{lines}<p>{metered}"
        'By, on: <span class="blank"></span></p>'
        f'<p class="small soft">To be recorded for {escape(entry.id)}.</p>'
    )
