"""A sheet for under the car: the next inspections with cautions, steps, leads, limits, blanks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from proveout.app.story import Story
from proveout.intake.readings import own_limits
from proveout.measure.display import scale_of, unit_sign
from proveout.measure.own import Replaced
from proveout.model.book import Book
from proveout.model.case import Case
from proveout.model.entries import Inspection
from proveout.model.preference import AS_WRITTEN
from proveout.model.vehicle import only_for
from proveout.show.cautions import caution_texts
from proveout.show.figures import minutes
from proveout.show.glossary import words_html
from proveout.show.html import document, facts, items, paragraphs, table
from proveout.show.inspection import DEFERENCE, band_text, prose_of
from proveout.show.pictures import CURVE, LEADS, WHERE, Drawn, pictures_of
from proveout.show.report_customer import title_of
from proveout.text.unhyphened import unhyphened

#: Inspections on one job sheet at most: the next one and the best of the others.
_MOST = 4


def job_sheet_html(story: Story, display: str = AS_WRITTEN) -> str:
    """Return the sheet of a case: the next inspection and the best of the others, each on its own page."""
    answer = story.answer
    names = dict.fromkeys(step.inspection for step in (answer.next, *answer.others) if step)
    entries = [story.book.inspections[name] for name in names][:_MOST]
    title = f"Job sheet: {title_of(story)}"
    if not entries:
        nothing = "Nothing further is worth inspecting in this case."
        return document(title, [paragraphs([nothing, *answer.verdict.reasons[:1]])])
    return sheets_html(title, entries, story.book, story.case, story.document, display)


def sheets_html(
    title: str,
    entries: Sequence[Inspection],
    book: Book,
    case: Case,
    given: Mapping[str, Any],
    display: str = AS_WRITTEN,
) -> str:
    """Return sheets of some inspections.

    Args:
        title: of the page.
        entries: the inspections.
        book: gives the words.
        case: may have limits of its own.
        given: the intake document, which says whose vehicle it is.
        display: preference for units.
    """
    about = given.get("about", {})
    return document(title, [_one(entry, book, case, about, display) for entry in entries])


def _one(entry: Inspection, book: Book, case: Case, about: Mapping[str, Any], display: str) -> str:
    """Return the sheet of one inspection: cautions stand before everything that is done."""
    words = book.words
    whole = caution_texts(book, entry)
    cautions = [f"<p><b>{escape(title)}</b>: {escape(text)}</p>" for title, text in whole]
    head = facts(
        [
            ("Vehicle", str(about.get("vehicle", ""))),
            ("Plate", str(about.get("plate", ""))),
            ("Job", str(about.get("job", ""))),
            ("Time", minutes(entry.minutes)),
            ("Tools", ", ".join(words.tools[key].title for key in entry.tools) or "only the basics"),
            ("Where", ", ".join(words.access[key].title for key in entry.access)),
            ("Vehicles", only_for(entry.fits, entry.not_for)),
        ]
    )
    own = own_limits(entry.id, case, book)
    drawn = {one.of: one for one in pictures_of(book, entry, case.has, own.spec if own else None, display)}
    pictures = _figure(drawn.get(LEADS)) + _figure(drawn.get(WHERE))
    shown = f'<div class="pictures">{pictures}</div>' if pictures else ""
    leads = f"<h3>Leads and hoses</h3>{paragraphs([entry.leads])}" if entry.leads else ""
    steps = "".join(f'<li><span class="box"></span>{escape(step)}</li>' for step in entry.steps)
    return (
        f'<section class="sheet"><h1>{escape(entry.title)}</h1>{head}'
        f'<div class="warn">{"".join(cautions)}<p>{escape(DEFERENCE)}</p></div>'
        f'<div class="beside">{shown}<div>{leads}<h3>Steps</h3><ol>{steps}</ol>'
        f"{_expected(entry, own, drawn.get(CURVE), display)}{_blanks(entry)}"
        + ("<h3>How it can mislead</h3>" + items(entry.false_readings) if entry.false_readings else "")
        + "</div></div>"
        + words_html(book, prose_of(entry))
        + "</section>"
    )


def _figure(drawn: Drawn | None) -> str:
    """Return a picture with its words; nothing where there is none."""
    if drawn is None:
        return ""
    return f"<figure>{drawn.svg}<figcaption>{escape(drawn.words)}</figcaption></figure>"


def _expected(entry: Inspection, own: Replaced | None, curve: Drawn | None, display: str) -> str:
    """Return what each result means, with the limits where a value is read."""
    bands: dict[str, list[str]] = {}
    if entry.reading:
        scale = scale_of(entry.reading, display)
        for band in (own.spec if own else entry.reading).bands:
            bands.setdefault(band.result, []).append(band_text(band, scale))
    rows = [(unhyphened(one.id), ", ".join(bands.get(one.id, [])), one.means) for one in entry.results]
    if not bands and not (entry.reading and entry.reading.series):
        return "<h3>What to expect</h3>" + table(("result", "means"), [(row[0], row[2]) for row in rows])
    return "<h3>What to expect</h3>" + _figure(curve) + table(("result", "limits", "means"), rows)


def _blanks(entry: Inspection) -> str:
    unit = f" {escape(unit_sign(entry.reading.unit))}" if entry.reading else ""
    pairs = (entry.reading.series.at_least + 1) if entry.reading and entry.reading.series else 1
    read = _blank("Read", unit) if entry.reading else _blank("Result")
    metered = _blank("Meter") + _blank("Under") if unit else ""
    lines = "".join(f"<p>{read}</p>" for _ in range(pairs))
    return (
        f"<h3>What it gave</h3>{lines}<p>{metered}"
        f"{_blank('By, on')}</p>"
        f'<p class="small soft">Record it as {escape(entry.id)}.</p>'
    )


def _blank(label: str, unit: str = "") -> str:
    """Return a label with room to write behind it, which stay on one line."""
    return f'<span class="ask">{label}: <span class="blank"></span>{unit}</span> '
