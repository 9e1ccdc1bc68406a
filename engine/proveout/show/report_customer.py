"""The first page of a report, in words for whoever pays: found, done, cost, what to watch, who may pay."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

from proveout.app.story import Spent, Story
from proveout.intake.called import observable_title
from proveout.model.advice import INSPECT, NONE, REFER, REPAIR
from proveout.readiness.warranty import MAY_PAY, UNKNOWN
from proveout.record.bodies import Close, Mending, Purchase, Repair, Verification, Watch, bodies, last_body
from proveout.record.closing import CONFIRMED, is_closed
from proveout.show.cautions import remedy_said
from proveout.show.driving import cautions, heading, reasons
from proveout.show.figures import minutes, money, percent, price
from proveout.show.html import facts, items, paragraphs
from proveout.show.inspection import DEFERENCE

_OUTCOMES = {
    "confirmed": "Mended, and shown to have held",
    "not-confirmed": "Closed without proof that the repair held",
    "referred": "Handed on to a specialist",
    "nothing-wrong": "Nothing found that needs mending",
    "given-up": "Given up",
}

_VERDICTS = {
    REPAIR: "The cause is proven",
    NONE: "Nothing found that needs mending",
    REFER: "For a specialist",
}


def customer_page(story: Story) -> str:
    """Return the page."""
    return (
        '<section class="sheet">'
        + _head(story)
        + _driving(story)
        + _complaint(story)
        + _said(story)
        + _found(story)
        + _done(story)
        + _cost(story)
        + _next(story)
        + _watch(story)
        + _payers(story)
        + paragraphs([DEFERENCE], "small soft")
        + "</section>"
    )


def title_of(story: Story) -> str:
    """Return what the case is called."""
    return str(story.document.get("title") or "Check-engine light: what was found")


def _head(story: Story) -> str:
    about, vehicle = story.document.get("about", {}), story.document.get("vehicle", {})
    known = [f"{vehicle['age_years']:g} years" if "age_years" in vehicle else ""]
    known.append(f"{vehicle['mileage_km']:,.0f} km" if "mileage_km" in vehicle else "")
    known += [*vehicle.get("has", ()), *(f"no {kind}" for kind in vehicle.get("lacks", ()))]
    known += [str(vehicle[key]) for key in ("engine", "fuel") if key in vehicle]
    dates = [event.at[:10] for event in story.events]
    when = dates[0] if len(set(dates)) == 1 else f"{dates[0]} to {dates[-1]}" if dates else ""
    return f"<h1>{escape(title_of(story))}</h1>" + facts(
        [
            ("Vehicle", ", ".join(filter(None, [str(about.get("vehicle", "")), *known]))),
            ("Plate", str(about.get("plate", ""))),
            ("Owner", str(about.get("owner", ""))),
            ("Job", str(about.get("job", ""))),
            ("Date", when),
        ]
    )


def _driving(story: Story) -> str:
    """Return what it means for driving on, ahead of all else, until something was mended or it is closed."""
    if story.held or is_closed(story.events):
        return ""
    found = story.answer.driving_on
    told = "".join(f"<br>{escape(line)}" for line in (*reasons(found), *cautions(found, story.book)))
    return f'<p class="said"><b>{escape(heading(found))}</b>{told}</p>'


def _complaint(story: Story) -> str:
    words = story.book.words
    told = []
    for seen in story.case.codes:
        entry = words.codes.get(seen.code)
        status = "" if seen.status == "confirmed" else f" ({seen.status})"
        told.append(f"{seen.code}{status}: {entry.meaning if entry else 'not in the catalogue of this book'}")
    told += [words.symptoms[key].title for key in story.case.symptoms if key in words.symptoms]
    told += [f"“{text}”" for text in story.document.get("said", ())]
    return "<h2>Why the vehicle came</h2>" + items(told) if told else ""


def _said(story: Story) -> str:
    """Return the outcome in one sentence, in a box."""
    closed = last_body(story.events, Close) if is_closed(story.events) else None
    verdict, cause = story.answer.verdict.kind, story.book.causes.get(story.cause)
    named = f": {cause.title}" if cause else ""
    if closed:
        said, good = _OUTCOMES[closed[1].outcome] + named, closed[1].outcome in (CONFIRMED, "nothing-wrong")
    elif story.held:
        good = story.held.confirmed
        if good:
            said = f"Mended, and shown to have held{named}"
        else:
            back = "but the trouble came back" if story.back else "not yet shown to have held"
            said = f"Mended, {back}{named}"
    else:
        said = _VERDICTS.get(verdict, "Nothing is proven yet") + named
        good = verdict in (REPAIR, NONE)
        if story.answer.is_blank:
            said, good = "Nothing to go on yet", False
    return f'<p class="said{" good" if good else ""}"><b>{escape(said)}</b></p>'


def _found(story: Story) -> str:
    """Return what the inspections showed, those that speak for the cause first."""
    shown = dict(story.held.shown_by) if story.held else {}
    rows: list[tuple[str, str]] = []
    for seen in story.answer.sheet.observations:
        entry = story.book.inspections.get(seen.observable.key)
        if seen.observable.kind != "result" or entry is None or seen.decided is None:
            continue
        result = next((item for item in entry.results if item.id == seen.decided), None)
        showing = {name for names in entry.proves.values() for name in names}
        if result is not None and (result.means, entry.title) not in rows:
            rows.insert(
                0 if entry.id in shown or result.id in showing else len(rows), (result.means, entry.title)
            )
    if not rows:
        return ""
    return "<h2>What was found</h2>" + items(f"{means} ({title})" for means, title in rows)


def _done(story: Story) -> str:
    told = []
    for event in story.events:
        told += [f"{event.at[:10]}: {text}" for text in _deed(story, event)]
    return "<h2>What was done</h2>" + items(told) if told else ""


def _deed(story: Story, event: Any) -> Sequence[str]:
    one = (event,)
    for _, bought in bodies(one, Purchase):
        return [f"bought {bought.part} for {money(bought.cost, story.spent.currency)}"]
    for _, mended in bodies(one, Repair):
        cause = story.book.causes.get(mended.cause)
        return [f"{mended.action.replace('-', ' ')}: {cause.title if cause else mended.cause}"]
    for _, tried in bodies(one, Mending):
        cause = story.book.causes.get(tried.cause)
        return [f"mended, to be watched: {cause.title if cause else tried.cause}"]
    for _, watched in bodies(one, Watch):
        return [f"watched: it {watched.since.replace('-', ' ')}"]
    for _, check in bodies(one, Verification):
        titles = [item.get("inspection", "") for item in check.repeated]
        told = [
            f"inspected again: {story.book.inspections[key].title}"
            for key in titles
            if key in story.book.inspections
        ]
        told += ["codes cleared"] if check.codes_cleared else []
        now = [str(item["code"] if isinstance(item, dict) else item) for item in check.codes_now]
        return told + ([f"codes read again, stored: {', '.join(now)}"] if now else [])
    return []


def _cost(story: Story) -> str:
    spent = story.spent
    told = [f"Parts: {money(spent.parts, spent.currency)}." if spent.parts else ""]
    if spent.wrong:
        told.append(f"Of that, {money(spent.wrong, spent.currency)} for parts that were not the cause.")
    told.append(f"Time of the repair: {minutes(spent.minutes)}." if spent.minutes else "")
    found = paragraphs(told)
    return f"<h2>What it cost</h2>{found}" if found else ""


def money_compared(spent: Spent) -> list[tuple[str, str]]:
    """Return what was spent beside what guessing was expected to cost, as rows of a table."""
    hours = (spent.looked + spent.minutes) / 60
    rows = [
        ("parts", price(spent.parts)),
        (
            f"inspections ({minutes(spent.looked)} by the book) and repair ({minutes(spent.minutes)})",
            price(hours * spent.per_hour),
        ),
        ("in all", price(spent.parts + hours * spent.per_hour)),
    ]
    if spent.guessed is not None:
        rows.append(("mending the likeliest cause first, then the next: expected", price(spent.guessed)))
    return rows


def money_drawn(spent: Spent) -> list[tuple[str, list[tuple[str, float]]]]:
    """Return the same as bars, each of parts laid end to end."""
    looked, mended = (time / 60 * spent.per_hour for time in (spent.looked, spent.minutes))
    right = spent.parts - spent.wrong
    done = [("parts", right), ("parts that were not the cause", spent.wrong)]
    bars = [("spent", [*done, ("inspecting", looked), ("mending", mended)])]
    return bars + ([("guessing, expected", [("in all", spent.guessed)])] if spent.guessed is not None else [])


def _next(story: Story) -> str:
    """Return what comes next while nothing was mended: the inspection, or the remedy with its price."""
    if story.held or last_body(story.events, Close):
        return ""
    verdict, currency = story.answer.verdict, story.spent.currency
    if verdict.kind == INSPECT and story.answer.next:
        entry = story.book.inspections[story.answer.next.inspection]
        costs = money(story.answer.next.cost, currency)
        return "<h2>What comes next</h2>" + paragraphs(
            [f"{entry.title.rstrip('?')} ({minutes(story.answer.next.minutes)}, about {costs})."]
        )
    if verdict.kind == REPAIR and story.cause:
        remedy = story.book.causes[story.cause].remedy
        return "<h2>What mends it</h2>" + paragraphs([f"{remedy_said(remedy, currency)}."])
    return paragraphs(verdict.reasons[:1])


def _watch(story: Story) -> str:
    told = list(story.held.missing) if story.held else []
    told += [f"{need.what}" for need in story.ahead]
    surprises = story.answer.sensitivity.surprises
    told += [
        f"{observable_title(story.book, surprise.observable)}: at odds with the rest "
        f"({percent(surprise.expected)} of such cases)"
        for surprise in surprises
        if not story.held
    ]
    return "<h2>What to watch</h2>" + items(told) if told else ""


def _payers(story: Story) -> str:
    stands = {MAY_PAY: "may pay", UNKNOWN: "may pay, if it still runs"}
    told = [
        f"{item.term.title}: {stands[item.stands]} ({item.why})"
        for item in story.payers
        if item.stands in stands
    ]
    return "<h2>Who may pay</h2>" + items(told) if told else ""
