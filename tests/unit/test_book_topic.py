"""Topic files: rows at what they observe, layers that replace one row, and files of the first form."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from helpers_book import CLEAN, TOPICS, write_book, write_topics
from proveout.book.load import check, load_book
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError
from proveout.model.rule import Rule
from proveout.model.specs import ReadingSpec

VALVE, HOSE, EVAP = "evap/valve.yaml", "evap/hose.yaml", "evap/evap.yaml"

#: What the rules of the first form that became rows are called.
ROWS = {
    "valve-fails": "valve-holds=leaks",
    "hose-seen": "hose-look=cracked",
    "hose-off": "hose-look=loose",
    "open-weighs": "finding:open-system",
    "large-leak": "code:P0455",
}


def layer(home: Path, text: str, name: str = "own.yaml") -> Path:
    """Write a layer of one file."""
    home.mkdir(parents=True)
    (home / name).write_text(text, encoding="utf-8")
    return home


def nowhere(entry: Any) -> Any:
    """Return an entry without its places."""
    entry = replace(entry, place=NOWHERE)
    reading = getattr(entry, "reading", None)
    if isinstance(reading, ReadingSpec):
        bands = tuple(replace(band, place=NOWHERE) for band in reading.bands)
        entry = replace(entry, reading=replace(reading, bands=bands))
    return entry


def said(rule: Rule) -> tuple[Any, ...]:
    """Return what a rule says."""
    return rule.when, rule.concludes, rule.observes, dict(rule.weights), rule.otherwise, rule.source


def test_both_forms_give_the_same_book(tmp_path: Path) -> None:
    first = load_book(base=write_book(tmp_path / "first"))
    second = load_book(base=write_topics(tmp_path / "second"))
    for one, other in ((first.causes, second.causes), (first.inspections, second.inspections)):
        assert [nowhere(entry) for entry in one.values()] == [nowhere(entry) for entry in other.values()]
    expected = {ROWS.get(name, name): said(rule) for name, rule in first.rules.items()}
    # A code and its row have one source.
    expected["code:P0455"] = (*expected["code:P0455"][:-1], "from memory")
    assert {name: said(rule) for name, rule in second.rules.items()} == expected
    assert first.proved_by == second.proved_by
    assert first.predicates == second.predicates


def test_a_row_says_why_and_where(tmp_path: Path) -> None:
    book = load_book(base=write_topics(tmp_path))
    row = book.rules["valve-holds=leaks"]
    assert row.because == "A closed valve passes no air."
    assert str(row.place).endswith("evap/valve.yaml:41:9")
    lines = TOPICS["evap/valve.yaml"].splitlines()
    assert lines[row.place.line - 1].strip().startswith("seen_with:")
    assert book.rules["code:P0455"].because == "A large leak.", "the meaning where no reason is given"
    assert book.rules["code:P0455"].source == "from memory", "one source for a code and its row"


def test_a_layer_replaces_one_row_and_leaves_the_rest(tmp_path: Path) -> None:
    base = write_topics(tmp_path / "base")
    text = """\
rules:
  - replaces: valve-holds=leaks
    seen_with: {valve-leaks: 0.8}
    otherwise: 0.02
    because: Ours leak more slowly.
    source: own jobs
"""
    shop = layer(tmp_path / "shop", text)
    plain, ours = load_book(base=base), load_book([shop], base=base)
    row = ours.rules["valve-holds=leaks"]
    assert (row.weights, row.otherwise, row.layer) == ({"valve-leaks": 0.8}, 0.02, "shop")
    assert str(row.place).endswith("own.yaml:2:5")
    assert ours.inspections == plain.inspections
    assert {n: r for n, r in ours.rules.items() if n != row.id} == {
        n: r for n, r in plain.rules.items() if n != row.id
    }


def test_a_layer_adds_a_row_to_an_entry_that_is_not_its_own(tmp_path: Path) -> None:
    text = """\
rules:
  - id: shop-smell
    when: {symptom: smell}
    seen_with: {hose-cracked: 0.3}
    otherwise: 0.01
    because: It stinks.
    source: own jobs
"""
    book = load_book([layer(tmp_path / "shop", text)], base=write_topics(tmp_path / "base"))
    assert book.rules["shop-smell"].weights == {"hose-cracked": 0.3}


def test_a_replaced_entry_brings_its_rows_and_keeps_those_it_does_not_state(tmp_path: Path) -> None:
    text = """\
inspections:
  - id: hose-look
    replaces: hose-look
    title: Hose is whole
    kind: visual
    minutes: 3
    results:
      whole: {is: normal, means: No crack.}
      cracked: {is: abnormal, means: A crack., shows: [hose-cracked], seen_with: {hose-cracked: 0.5},
        otherwise: 0.004, source: own jobs}
      loose: {is: abnormal, means: It came off.}
    steps: [Look.]
    source: own jobs
"""
    book = load_book([layer(tmp_path / "shop", text)], base=write_topics(tmp_path / "base"))
    assert book.inspections["hose-look"].minutes == 3
    cracked, loose = book.rules["hose-look=cracked"], book.rules["hose-look=loose"]
    assert (cracked.layer, cracked.weights) == ("shop", {"hose-cracked": 0.5})
    assert (loose.layer, loose.weights) == ("book", {"hose-cracked": 0.3})


def test_a_layer_of_the_first_form_opens_over_topics(tmp_path: Path) -> None:
    """Its rules replace by ids that rules had before they became rows; what they observe tells which."""
    entries = CLEAN["rules.yaml"].split("- id: ")[1:]
    learned = "".join(
        f"- id: {e.replace(chr(10), chr(10) + '  replaces: ' + e.partition(chr(10))[0] + chr(10), 1)}"
        for e in entries
        if e.partition("\n")[0] in {"valve-fails", "large-leak", "open-weighs", "large-leak-wet"}
    ).replace("almost-always", "0.9")
    shop = layer(tmp_path / "shop", learned, "learned.rules.yaml")
    base = write_topics(tmp_path / "base")
    assert [str(p) for p in check([shop], base=base)] == []
    book, plain = load_book([shop], base=base), load_book(base=base)
    assert book.rules.keys() == plain.rules.keys()
    mine = {"valve-holds=leaks", "code:P0455", "finding:open-system", "large-leak-wet"}
    assert {name for name, rule in book.rules.items() if rule.layer == "shop"} == mine
    assert book.rules["valve-holds=leaks"].weights == {"valve-leaks": 0.9}


OFF = ", seen_with: {hose-cracked: 0.3}, otherwise: 0.01,\n        because: It can be seen."
RAIN = """\
    examples:
      fires: [{happens_when: [in-rain]}]
      silent: [{symptoms: [smell]}]
"""

#: Check, file, old and new text, line and column, words of the complaint.
SPOILED = [
    ("schema-key", HOSE, "causes:\n", "cause:\n", 7, 1, "did you mean 'causes'?"),
    ("schema-key", VALVE, "shows:", "show:", 40, 9, "did you mean 'shows'?"),
    ("schema-key", VALVE, "seen_with: {valve-leaks: a", "seen_wth: {valve-leaks: a", 41, 9, "'seen_with'"),
    ("schema-choice", VALVE, "almost-always", "allways", 41, 34, ""),
    ("schema-form", VALVE, "{valve-leaks: almost", "{Valve-leaks: almost", 41, 21, "small letters"),
    ("schema-missing", HOSE, "    title: Hose cracked\n", "", 8, 5, "no 'title'"),
    ("unknown-id", VALVE, "shows: [valve-leaks]", "shows: [valve-leak]", 40, 17, "'valve-leaks'?"),
    ("unknown-id", VALVE, "{valve-leaks: almost", "{valve-leak: almost", 41, 21, "'valve-leaks'?"),
    (
        "source-missing",
        VALVE,
        "  inspections: common practice, no source\n",
        "",
        20,
        5,
        "'inspections' under",
    ),
    ("source-missing", VALVE, "  limits: common practice, no source\n", "", 29, 7, "'limits_source'"),
    ("source-missing", EVAP, "  seen_with: common practice, no source\n", "", 0, 0, "'seen_with' under"),
    ("source-missing", HOSE, "  base_rate: from memory\n", "", 0, 0, "'base_rate' under 'sources'"),
    ("missing-otherwise", VALVE, "        otherwise: rarely\n", "", 41, 9, "no 'otherwise'"),
    ("frequency-sum", HOSE, "{hose-cracked: 0.3}", "{hose-cracked: 0.45}", 0, 0, "sum to 1.05"),
    ("proves-normal", HOSE, "No crack.}", "No crack., shows: [hose-cracked]}", 0, 0, ""),
    ("unused-result", HOSE, OFF, "", 0, 0, "'seen_with'"),
    ("missing-examples", EVAP, RAIN, "", 0, 0, "no examples of rain-wets"),
    ("schema-choice", EVAP, "  - id: rain-wets\n    when", "  - when", 0, 0, "none of id, replaces"),
]


@pytest.mark.parametrize(("name", "file", "old", "new", "line", "column", "words"), SPOILED)
def test_each_spoiled_topic_is_refused_at_its_place(
    tmp_path: Path, name: str, file: str, old: str, new: str, line: int, column: int, words: str
) -> None:
    found = check(base=write_topics(tmp_path, (file, old, new)))
    problems = [p for p in found if p.check == name]
    assert problems, [str(p) for p in found]
    assert file in problems[0].place.file
    if line:
        assert (problems[0].place.line, problems[0].place.column) == (line, column)
    assert words in str(problems[0])


def test_a_source_may_come_from_the_entry(tmp_path: Path) -> None:
    """A row without a source of its own takes the file's, or else that of the inspection."""
    home = write_topics(tmp_path, (VALVE, "  seen_with: common practice, no source\n", ""))
    assert load_book(base=home).rules["valve-holds=leaks"].source == "common practice, no source"


MORE = "seen_with: {valve-leaks: 0.5}, because: x, source: y"

#: A layer that does not fit, and its complaint.
MISFITS = [
    ("- {id: smell, title: Smell}\n", "file-form", "put the name of the section before it"),
    (f"rules:\n  - {{replaces: valve-holds=leeks, {MORE}}}\n", "replaces", "INSPECTION=RESULT"),
    (f"rules:\n  - {{replaces: code-p0455, {MORE}}}\n", "replaces", "no layer below"),
    (f"rules:\n  - {{id: code:P0455, when: {{code: P0455}}, {MORE}}}\n", "schema-form", "small letters"),
    (f"codes:\n  - {{id: P0455, meaning: x, family: evap, {MORE}}}\n", "duplicate-id", "replaces: P0455"),
    ("causes: 3\n", "schema-type", "a list"),
]


@pytest.mark.parametrize(("text", "name", "words"), MISFITS)
def test_a_layer_that_does_not_fit_is_told_so(tmp_path: Path, text: str, name: str, words: str) -> None:
    shop = layer(tmp_path / "shop", text)
    with pytest.raises(BadInputError) as raised:
        load_book([shop], base=write_topics(tmp_path / "base"))
    problems = [p for p in raised.value.problems if p.check == name]
    assert problems, [str(p) for p in raised.value.problems]
    assert problems[0].place.file == f"{shop}/own.yaml"
    assert words in str(problems[0])


def test_one_fault_in_a_topic_does_not_make_others(tmp_path: Path) -> None:
    home = write_topics(tmp_path, (VALVE, "kind: measurement", "kind: measured"))
    assert {p.check for p in check(base=home)} == {"schema-choice"}


def test_a_topic_that_cannot_be_read_hides_what_it_may_hold(tmp_path: Path) -> None:
    home = write_topics(tmp_path, (VALVE, "words: [solenoid]", "words: [solenoid"))
    assert {p.check for p in check(base=home)} == {"yaml-syntax"}


def rows_of(book: Book) -> set[str]:
    return {name for name in book.rules if ":" in name or "=" in name}


def test_sections_may_be_spread_over_files_as_one_likes(tmp_path: Path) -> None:
    whole = load_book(base=write_topics(tmp_path / "a"))
    assert rows_of(whole) == set(ROWS.values())
    parts = write_topics(tmp_path / "b")
    text = (parts / "common.yaml").read_text("utf-8")
    (parts / "common.yaml").unlink()
    blocks = [block for block in text.split("\n") if block]
    for number in range(0, len(blocks), 2):
        (parts / f"part-{number}.yaml").write_text("\n".join(blocks[number : number + 2]) + "\n", "utf-8")
    assert load_book(base=parts).digest == whole.digest


SHARED = """\
sources: {codes: from memory}
all_codes: {family: evap, does_not_mean: Not that a part is bad.}
codes:
  - {id: P0456, meaning: Very small., seen_with: {hose-cracked: often, valve-leaks: 0.25}, otherwise: 0.0005}
  - {id: P0457, meaning: Cap., family: other, seen_as: {code: P0456, times: 0.5}, otherwise: 0.01,
    because: Rare.}
  - {id: P0459, meaning: Alike., seen_as: {code: P0456}, otherwise: 0.0005, does_not_mean: Nothing.}
"""


def test_codes_share_what_the_file_says_of_all_and_the_frequencies_of_another(tmp_path: Path) -> None:
    book = load_book([layer(tmp_path / "own", SHARED)], base=write_topics(tmp_path / "book"))
    codes, rules = book.words.codes, book.rules
    assert [codes[name].family for name in ("P0456", "P0457", "P0459")] == ["evap", "other", "evap"]
    assert [codes[name].does_not_mean for name in ("P0456", "P0459")] == [
        "Not that a part is bad.",
        "Nothing.",
    ]
    assert dict(rules["code:P0457"].weights) == {"hose-cracked": 0.3, "valve-leaks": 0.125}
    assert rules["code:P0457"].because == "Rare."
    assert rules["code:P0457"].place.line == 5
    assert dict(rules["code:P0459"].weights) == dict(rules["code:P0456"].weights)


@pytest.mark.parametrize(
    ("good", "bad", "name"),
    [
        ("{code: P0456}, otherwise", "{code: P0442}, otherwise", "seen-as-unknown"),
        ("seen_as: {code: P0456}, ", "", "frequencies-missing"),
        ("seen_as: {code: P0456}", "seen_as: {code: P0456, times: 0}", "schema-value"),
        ("all_codes: {family: evap, ", "all_codes: {", "family-missing"),
    ],
)
def test_what_codes_share_is_checked(tmp_path: Path, good: str, bad: str, name: str) -> None:
    assert SHARED.count(good) == 1
    own = layer(tmp_path / "own", SHARED.replace(good, bad))
    assert name in {p.check for p in check([own], base=write_topics(tmp_path / "book"))}
