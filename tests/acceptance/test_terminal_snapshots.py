"""What stands on the screen, whole, at 40, 80 and 120 columns, with and without colour.

The texts lie in ``screens/``; ``PROVEOUT_SCREENS=write`` writes them anew, for a person to look through. They
rest on the small book of the tests, so that they change only where the program's words or layout do.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from contextlib import chdir
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from helpers_book import write_book
from helpers_record import advice_of, chain_of, triage_of
from proveout.app.before import before_by_sheet
from proveout.book.load import load_book
from proveout.intake.document import case_of
from proveout.intake.readings import readings_of
from proveout.measure.judging import Judged
from proveout.model.book import Book
from proveout.model.whereabouts import Whereabouts
from proveout.record.closing import confirmation
from proveout.record.deeds import repair_body
from proveout.show.change import change_text
from proveout.show.deeds import after_repair_text, confirmation_text
from proveout.show.inspection import steps_page
from proveout.show.next import next_step_text
from proveout.show.page import Page
from proveout.show.reading import reading_text
from proveout.show.triage import triage_text
from proveout.show.triage_page import SCREEN, triage_page
from proveout.show.why import why_text
from proveout.terminal.paper import inked

SCREENS = Path(__file__).parent / "screens"

OPEN: Mapping[str, Any] = {"codes": ["P0455"], "vehicle": {"age_years": 14}, "costs": {"currency": "EUR"}}
SHOWN: Mapping[str, Any] = {
    **OPEN,
    "readings": [
        {"inspection": "hose-look", "result": "whole"},
        {"inspection": "valve-holds", "value": "-10 kPa"},
    ],
}
SOUND: Mapping[str, Any] = {
    **OPEN,
    "readings": [
        {"inspection": "hose-look", "result": "whole"},
        {"inspection": "valve-holds", "value": "-60 kPa"},
    ],
}


def laid(text: str, width: int) -> Page:
    page = Page(width)
    page.lay(text.split("\n"))
    return page


def triage_of_case(document: Mapping[str, Any], case: str = "van.yaml") -> Callable[[Book, int], Page]:
    return lambda book, width: triage_page(triage_of(book, document), book, width, case=case)


def changed(book: Book, width: int) -> Page:
    old = triage_of(book, OPEN)
    return laid(
        change_text(before_by_sheet(old.sheet, old.hypotheses), triage_of(book, SHOWN), book, width), width
    )


def read(book: Book, width: int) -> Page:
    (found,) = [r.told for r in readings_of(case_of(SHOWN, book), book) if r.inspection == "valve-holds"]
    assert isinstance(found, Judged)
    return laid(reading_text(book.inspections["valve-holds"], found, width), width)


def confirmed(book: Book, width: int) -> Page:
    leaks = ("reading", {"inspection": "valve-holds", "result": "leaks"})
    before = chain_of(leaks, ("advice", advice_of(book, SHOWN)), intake=dict(OPEN))
    events = chain_of(
        leaks,
        ("advice", advice_of(book, SHOWN)),
        ("repair", repair_body(before, book, "valve-leaks").kept()),
        intake=dict(OPEN),
    )
    return laid(confirmation_text(confirmation(events, book), (), book, width), width)


def pictured(book: Book, width: int) -> Page:
    spot = Whereabouts("valve", "intake-manifold", components=("valve",))
    placed = replace(book, words=replace(book.words, places={"valve": spot}))
    leads = "Gauge on the valve's canister-side port; the other port open."
    return steps_page(placed, replace(book.inspections["valve-holds"], leads=leads), width)


SITUATIONS: Mapping[str, Callable[[Book, int], Page]] = {
    "triage-inspect": triage_of_case(OPEN),
    "triage-repair": triage_of_case(SHOWN),
    "triage-refer": triage_of_case(SOUND),
    "triage-nothing-given": triage_of_case({"symptoms_absent": ["smell"]}),
    "triage-of-an-intake": triage_of_case({**OPEN, "said": ["it hums when the moon is full"]}, case=""),
    "triage-in-full": lambda book, width: laid(triage_text(triage_of(book, OPEN), book, width), width),
    "steps-of-a-reading": lambda book, width: steps_page(book, book.inspections["valve-holds"], width),
    "steps-of-a-look": lambda book, width: steps_page(book, book.inspections["hose-look"], width),
    "steps-in-pictures": pictured,
    "why": lambda book, width: laid(why_text(triage_of(book, SHOWN), book, "valve-leaks", width), width),
    "change": changed,
    "reading": read,
    "after-repair": lambda book, width: laid(
        after_repair_text(book.causes["valve-leaks"], book, width), width
    ),
    "not-confirmed": confirmed,
    "how-to-go-on": lambda book, width: laid(
        next_step_text(triage_of(book, OPEN), book, "van.yaml", width), width
    ),
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """Return the small book, read from ``rules``: no length of a path may decide where lines break."""
    home = tmp_path_factory.mktemp("book")
    write_book(home / "rules")
    with chdir(home):
        return load_book(base=Path("rules"))


@pytest.mark.parametrize("colour", [False, True], ids=["plain", "colour"])
@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", SITUATIONS)
def test_the_screen_is_as_it_was_looked_at(name: str, width: int, colour: bool, book: Book) -> None:
    page = SITUATIONS[name](book, width)
    shown = (inked(page) if colour else page.text()) + "\n"
    shown = shown.replace("\x1b", "\\e")
    shown = re.sub(r"Book [0-9a-f]{16}", "Book DIGEST", shown)
    kept = SCREENS / f"{name}-{width}-{'colour' if colour else 'plain'}.txt"
    if os.environ.get("PROVEOUT_SCREENS") == "write":
        SCREENS.mkdir(exist_ok=True)
        kept.write_text(shown, encoding="utf-8")
    assert shown == kept.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", SITUATIONS)
def test_colour_adds_nothing_that_the_words_do_not_say(name: str, book: Book) -> None:
    page = SITUATIONS[name](book, 80)
    bare = re.sub(r"\x1b\[[0-9;]*m", "", inked(page))
    assert [line.rstrip() for line in bare.split("\n")] == page.text().rstrip("\n").split("\n")


@pytest.mark.parametrize("name", [name for name in SITUATIONS if re.match("triage-(?!in-full)", name)])
@pytest.mark.parametrize("width", [60, 80, 120])
def test_a_triage_fits_a_screen(name: str, width: int, book: Book) -> None:
    assert len(SITUATIONS[name](book, width).lines) <= SCREEN


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "cp1252", "koi8-r"])
def test_every_encoding_can_show_it(encoding: str, book: Book) -> None:
    from proveout.text.visible import PLAINER

    for name, made in SITUATIONS.items():
        text = made(book, 80).text().encode(encoding, errors=PLAINER).decode(encoding)
        assert "?" not in text.replace("?", "", made(book, 80).text().count("?")), name


@pytest.mark.parametrize("width", [40, 80])
def test_bars_stand_in_one_column_where_an_encoding_lacks_the_ellipsis(width: int, book: Book) -> None:
    from proveout.text.visible import PLAINER

    titles = {"hose-cracked": "Hose that runs from the canister to the engine cracked, split, chafed or off"}
    causes = {key: replace(cause, title=titles.get(key, cause.title)) for key, cause in book.causes.items()}
    assert causes != book.causes
    text = triage_of_case(OPEN)(replace(book, causes=causes), width).text()
    plain = text.encode("latin-1", errors=PLAINER).decode("latin-1")
    bars = [line for line in plain.split("\n") if re.search(r" %  ?[#:]+", line)]
    assert len(bars) == 3 and ".." in plain
    assert len({line.index(" %") for line in bars}) == 1


def test_a_triage_at_forty_columns_keeps_labels_on_the_line_of_what_they_say(book: Book) -> None:
    lines = SITUATIONS["triage-inspect"](book, 40).text().split("\n")
    assert "Next: Hose is whole (hose-look)" in lines and "How: proveout steps van.yaml" in lines
    assert all(len(line) <= 40 for line in lines)


#: An amount as sentences give it, and what stands behind it.
AMOUNT = re.compile(r"(?:\b(?:about|by|saves?|worth)|, part about \S+ to) (\d[\d.]*)(?! to)(.{0,4})")
#: What may stand behind a figure that is no amount of money.
NO_MONEY = (" %", " min", " km", " h ", " kPa")


@pytest.mark.parametrize("name", SITUATIONS)
def test_no_amount_stands_without_its_currency(name: str, book: Book) -> None:
    text = " ".join(SITUATIONS[name](book, 120).text().split())
    bare = [found[0] for found in AMOUNT.finditer(text) if not found[2].startswith((" EUR", *NO_MONEY))]
    assert not bare


def test_an_amount_without_a_named_currency_says_whose_it_is(book: Book) -> None:
    shown = triage_page(triage_of(book, {"codes": ["P0455"]}), book, 120).text()
    assert "about 0.67 in your currency" in shown
