"""What people read says titles and words; ids stand only in brackets behind a title, and in what is typed."""

from __future__ import annotations

import re
from pathlib import Path

from helpers_cli import proveout
from helpers_shipped import lend_books, shipped_book

#: A command to be typed, to the end of its line, and the answers to choose among, which end with cannot-tell;
#: an id behind its title; a rule with its place; what a paper is recorded as.
MAY_BE = re.compile(
    r"proveout .*|[ \w,:-]*\bcannot-tell|\([a-z0-9-]+\)|rule \S+(?=\s+\()|\S+ \(rules/\S+\)|Record it as \S+"
)
#: From the complaint to the end, with a step taken back and a repair that is not confirmed at first.
JOB: tuple[tuple[str, ...], ...] = (
    ("triage", "--full"),
    ("record", "cap-seat-and-click", "will-not-click"),
    ("undo",),
    ("amend", "--not-today"),
    ("record", "hoses-look-engine-bay", "sound"),
    ("record", "cap-seal-look", "sound"),
    ("record", "purge-valve-holds-vacuum", "-12 kPa"),
    ("why", "purge-valve-stuck-open"),
    ("repair", "purge-valve-stuck-open"),
    ("verify", "--codes-cleared"),
    ("ready", "--model-year", "2012"),
    ("close", "not-confirmed"),
    ("triage",),
    ("report", "--for", "technician"),
)


def test_no_id_stands_where_words_belong(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    book, car = shipped_book(), tmp_path / "car.yaml"
    results = {result.id for entry in book.inspections.values() for result in entry.results}
    named = {*book.inspections, *book.causes, *book.words.symptoms, *book.words.findings, *results}
    ids = {one for one in named if one.count("-") > 1}
    opened = proveout("intake", car, "--code", "P0442", "--symptom", "fuel-smell", home=tmp_path)
    told = [opened.out + opened.err]
    for command, *words in JOB:
        answer = proveout(command, car, *words, home=tmp_path)
        assert answer.code in (0, 1), answer.err
        told.append(answer.out + answer.err)
    for text in told:
        left = MAY_BE.sub("", re.sub("<style>.*?</style>", "", text, flags=re.DOTALL))
        assert not ids & set(re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", left)), left
