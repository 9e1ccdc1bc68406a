"""One self-contained HTML page of a case, to print or to hand over: no script, nothing fetched."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from proveout.intake.telling import notes, said
from proveout.measure.display import show_figure
from proveout.measure.judging import Judged
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.record.closing import ending
from proveout.record.documents import reasons
from proveout.record.event import Event
from proveout.show.deeds import ending_text
from proveout.show.driving import cautions, heading
from proveout.show.driving import reasons as driving_reasons
from proveout.show.figures import cause_title, money, observable_title, percent
from proveout.show.inspection import DEFERENCE
from proveout.show.series import series_svg
from proveout.show.triage import headline

#: How every page begins; ``report --out`` writes over nothing else.
BEGINS = '<!doctype html><html lang="en"><head>'

_STYLE = """
body { font: 15px/1.5 Georgia, serif; color: #222; max-width: 46em; margin: 2em auto; padding: 0 1em; }
h1 { font-size: 1.5em; margin: 0; } h2 { font-size: 1.1em; margin: 1.6em 0 .3em; }
p.verdict { font-size: 1.15em; border-left: 4px solid #444; padding: .3em .8em; background: #f4f2ec; }
table { border-collapse: collapse; width: 100%; } th, td { text-align: left; padding: .2em .6em .2em 0;
vertical-align: top; border-bottom: 1px solid #ddd; } td.figure { text-align: right; white-space: nowrap; }
p.danger { border: 3px solid #a00; padding: .4em .8em; }
p.caution { border: 1px solid #999; padding: .4em .8em; }
footer { color: #555; font-size: .85em; margin: 2em 0; overflow-wrap: anywhere; }
@media print { body { margin: 0; max-width: none; } h2 { break-after: avoid; } tr { break-inside: avoid; } }
"""


def _table(head: Sequence[str], rows: Sequence[Sequence[str]], figures: frozenset[int] = frozenset()) -> str:
    top = "".join(f"<th>{escape(cell)}</th>" for cell in head)
    body = "".join(
        "<tr>"
        + "".join(
            f'<td class="figure">{escape(cell)}</td>' if place in figures else f"<td>{escape(cell)}</td>"
            for place, cell in enumerate(row)
        )
        + "</tr>"
        for row in rows
    )
    return f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"


def _vehicle(document: Mapping[str, Any]) -> str:
    given = document.get("vehicle", {})
    words = [f"{given['age_years']:g} years" if "age_years" in given else ""]
    words.append(f"{given['mileage_km']:,.0f} km" if "mileage_km" in given else "")
    words += [str(given[key]) for key in ("engine", "fuel", "climate") if key in given]
    return ", ".join(word for word in words if word)


def _driving(triage: Triage, book: Book) -> str:
    """Return what it means for driving on, which stands above everything else."""
    found = triage.driving_on
    lines = (*driving_reasons(found), *cautions(found, book))
    style = "danger" if found.do in ("stop", "to-a-garage") else "caution"
    told = "".join(f"<br>{escape(line)}" for line in lines)
    return f'<p class="{style}"><strong>{escape(heading(found))}</strong>{told}</p>'


def _seen(triage: Triage, book: Book, display: str) -> str:
    rows = [
        (
            observable_title(book, seen.observable),
            said(triage.sheet, seen.observable, display) or seen.states[0][0],
        )
        for seen in triage.sheet.observations
    ]
    told = "".join(f"<p>{escape(note)}</p>" for note in notes(triage.sheet, display))
    return "<h2>What was seen</h2>" + _table(("what", "how it came out"), rows) + told if rows else ""


def _causes(triage: Triage, book: Book) -> str:
    if not triage.standings:
        return ""
    how = {"failed": "shown directly", "passed": "cleared directly", "none": "not inspected directly"}
    rows = [
        (cause_title(book, item.cause), percent(item.confidence), how[item.direct])
        for item in triage.standings
    ]
    rows.append(("None of these", percent(triage.not_in_book), ""))
    return "<h2>How the causes stand</h2>" + _table(("cause", "confidence", ""), rows, frozenset({1}))


def _why(triage: Triage, book: Book) -> str:
    if not triage.standings:
        return ""
    ledger = triage.ledgers[0]
    rows = []
    for entry in ledger.entries:
        places = ", ".join(f"{key} ({book.rules[key].place})" for key in entry.rules if key in book.rules)
        rows.append((f"{entry.what} {entry.said}".strip(), f"{entry.decibans:+.2f}", places))
    rows.append(("in all", f"{ledger.total:+.2f}", ""))
    title = f"<h2>Why: {escape(cause_title(book, ledger.cause))}</h2>"
    note = "<p>Decibans: ten times the decimal logarithm of the change of the odds.</p>"
    return title + _table(("evidence", "decibans", "rules"), rows, frozenset({1})) + note


def _verified(body: Mapping[str, Any]) -> list[str]:
    """Say what a verification consisted of."""
    told = [f"{item['inspection']} done again" for item in body.get("repeated", ())]
    told += ["codes cleared"] if body.get("codes_cleared") else []
    return [*told, *(f"{name} monitor run" for name in body.get("monitors_run", ()))]


def _deeds(events: Sequence[Event]) -> str:
    rows = []
    for event in events:
        body = event.body
        if event.kind == "purchase":
            rows.append((event.at[:10], f"bought {body.get('part')} for {money(float(body.get('cost', 0)))}"))
        elif event.kind == "repair":
            rows.append((event.at[:10], f"{body.get('action')}: {body.get('cause')}"))
        elif event.kind == "verification":
            rows.append((event.at[:10], f"verified: {', '.join(_verified(body))}"))
        elif event.kind == "close":
            rows.append((event.at[:10], f"closed: {body.get('outcome')}"))
    return "<h2>What was done</h2>" + _table(("day", "deed"), rows) if rows else ""


def _read(triage: Triage, display: str) -> str:
    """Return the figures computed from readings, under the drawing where it was a series."""
    parts = []
    for title, judged in ((read.title, read.told) for read in triage.sheet.readings):
        if not isinstance(judged, Judged):
            continue
        rows = [(f.name, show_figure(f.value, f.unit, f.uncertainty, display)) for f in judged.derived]
        drawn = series_svg(judged.study, title, display) if judged.study else ""
        if rows or drawn:
            parts.append(
                f"<h2>{escape(title)}</h2>{drawn}{_table(('figure', 'value ± standard uncertainty'), rows)}"
            )
    return "".join(parts)


def _ending(events: Sequence[Event], book: Book) -> str:
    """Return how a closed case ended, which then is its verdict; "" while it is open."""
    body = ending(events)
    return f'<p class="verdict">{escape(ending_text(body, book))}</p>' if body else ""


def report_html(
    document: Mapping[str, Any],
    triage: Triage,
    book: Book,
    events: Sequence[Event] = (),
    display: str = AS_WRITTEN,
) -> str:
    """Return the page; every text of the case and the book is escaped.

    Args:
        document: the intake document that the triage rests on.
        triage: the answer to show.
        book: the rules.
        events: of the case file, where there is one; deeds and head are shown from them.
        display: preference for the units of texts and figures.
    """
    title = str(document.get("title") or "Check-engine triage")
    why = "".join(f"<p>{escape(reason)}</p>" for reason in reasons(triage, book, display))
    ended = _ending(events, book)
    head = f" Head of the record: {events[-1].digest}." if events else ""
    return "".join(
        [
            f'{BEGINS}<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width">',
            f"<title>{escape(title)}</title><style>{_STYLE}</style></head><body>",
            f"<h1>{escape(title)}</h1><p>{escape(_vehicle(document))}</p>",
            ended or _driving(triage, book) + f'<p class="verdict">{escape(headline(triage, book))}</p>{why}',
            _seen(triage, book, display),
            _read(triage, display),
            _causes(triage, book),
            _why(triage, book),
            _deeds(events),
            f'<p class="caution">{escape(DEFERENCE)}</p>',
            f"<footer>Book {triage.book_digest}, layers {escape(', '.join(book.layers))}.{head}</footer>",
            "</body></html>\n",
        ]
    )
