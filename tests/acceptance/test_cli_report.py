"""The report and the job sheet: one file, for whom it is, redacted where that is wanted."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from helpers_cli import proveout, write_yaml

#: What of the invented case is personal, and must not be on a redacted page.
PERSONAL = ("Grey van of the bakery", "XX 12 YY", "A. Nobody", "J-77", "since the bakery trip")


class Reader(HTMLParser):
    """Reads a page: its headings, its open elements at the end, and everything that it would fetch."""

    VOID = frozenset(("meta", "circle", "rect", "path", "polyline", "polygon", "br"))

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.headings: list[str] = []
        self.fetched: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append(tag)
        self.fetched += [f"{tag} {name}" for name, _ in attrs if name in ("src", "href", "action", "onload")]
        self.fetched += [tag] if tag in ("script", "link", "iframe", "object", "embed") else []

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in ("h1", "h2"):
            self.headings.append(data)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A case from complaint to confirmed repair."""
    home = tmp_path_factory.mktemp("shop")
    about = {"vehicle": PERSONAL[0], "plate": PERSONAL[1], "owner": PERSONAL[2], "job": PERSONAL[3]}
    intake = {
        "title": "Grey van of the bakery",
        "about": about,
        "said": [PERSONAL[4]],
        "codes": ["P0451"],
        "vehicle": {"age_years": 5, "mileage_km": 60000},
        "costs": {"currency": "EUR"},
    }
    car = home / "car.yaml"
    opened = proveout("intake", car, "--from", write_yaml(home / "intake.yaml", intake), home=home)
    assert opened.code == 0, opened.err
    proveout("record", car, "sensor-hose-look", "cracked-or-off", home=home)
    proveout("purchase", car, "sensor-hose-cracked", "--cost", 6.5, home=home)
    proveout("repair", car, "sensor-hose-cracked", "--minutes", 12, home=home)
    again = ["--again", "sensor-hose-look=sound", "--codes-cleared", "--no-code", "--driven", "30 km"]
    assert proveout("verify", car, *again, home=home).code == 0
    assert proveout("close", car, "confirmed", home=home).code == 0
    return home


def page_of(shop: Path, *options: str) -> str:
    answer = proveout("report", shop / "car.yaml", *options, home=shop)
    assert answer.code == 0, answer.err
    return answer.out


def test_page_one_says_what_the_customer_asks(shop: Path) -> None:
    page = page_of(shop, "--for", "customer")
    read = Reader(page)
    assert read.open == [] and read.fetched == []
    for wanted in ("Why the vehicle came", "What was found", "What was done", "What it cost"):
        assert wanted in read.headings
    assert "Mended, and shown to have held" in page and "6.50 EUR" in page and "12 min" in page
    assert "The argument" not in read.headings and "decibans" not in page.lower()
    assert "<svg" not in page


def test_each_reader_gets_what_is_for_him(shop: Path) -> None:
    technician, assessor = (Reader(page_of(shop, "--for", who)) for who in ("technician", "assessor"))
    assert "The argument" in technician.headings and "The audit" not in technician.headings
    assert "The audit" in assessor.headings and "Rules" in assessor.headings
    assert page_of(shop, "--for", "assessor") == page_of(shop)
    for read in (technician, assessor):
        assert read.open == [] and read.fetched == []


def test_the_argument_draws_the_course_and_the_ledger(shop: Path) -> None:
    page = page_of(shop, "--for", "technician")
    assert page.count("<svg") == 4 and "Course of the confidence" in page
    course = page.partition("<h2>How the confidence went")[2].partition("<h2>")[0]
    assert ">event " not in course and "<li>The case was opened.</li>" in course
    assert "What speaks for and against" in page and "Money spent and what guessing" in page
    assert "What was done and why" in page and "it held</h3>" in page
    ledger = page.partition("Evidence, piece by piece")[2].partition("</svg>")[0]
    shares = [float(cell) for cell in re.findall(r"([+-][0-9.]+)</text>", ledger)]
    total = re.search(r">([+-][0-9.]+), which is", ledger)
    assert total and abs(sum(shares) - float(total[1])) < 0.2 * len(shares)
    assert "mending the likeliest cause first" in page


def test_a_redacted_page_has_nothing_personal(shop: Path) -> None:
    whole, page = page_of(shop), page_of(shop, "--redact")
    assert all(text in whole for text in PERSONAL)
    assert not [text for text in PERSONAL if text in page]
    assert str(shop) not in page and "Mended, and shown to have held" in page


def test_the_job_sheet_has_cautions_before_steps_and_blanks(tmp_path: Path) -> None:
    car = tmp_path / "car.yaml"
    with_tools = [word for tool in ("hand-vacuum-pump", "probe-kit") for word in ("--tool", tool)]
    proveout("intake", car, "--code", "P0442", "--age", 14, *with_tools, home=tmp_path)
    sheet = proveout("report", car, "--job-sheet", home=tmp_path).out
    read = Reader(sheet)
    assert read.open == [] and read.fetched == []
    for section in sheet.split("<section")[1:]:
        assert section.index('class="warn"') < section.index(">Steps<") < section.index('class="blank"')
    assert sheet.count("<section") >= 2


def test_steps_are_written_as_a_page_with_a_picture(shop: Path) -> None:
    page = shop / "steps.html"
    answer = proveout("steps", shop / "car.yaml", "tank-sensor-ground-drop", "--page", page, home=shop)
    assert answer.code == 0, answer.err
    text = page.read_text()
    read = Reader(text)
    assert read.open == [] and read.fetched == []
    assert text.index('class="warn"') < text.index("<svg") < text.index(">Steps<")
    assert "black on the battery negative post" in text
    assert text.index('class="warn"') < text.index("Where: at the fuel tank") < text.index(">Steps<")
    again = proveout("steps", shop / "car.yaml", "cap-seal-look", "--page", shop / "car.yaml", home=shop)
    assert again.code == 3  # nothing but an older page is written over
