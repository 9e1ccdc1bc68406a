"""Named texts: a sentence that entries share is written once, and reads as if it stood at each of them."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_topics
from proveout.book.files import Source
from proveout.book.load import check, checked_from_texts, load_book
from proveout.book.raw import assemble
from proveout.book.shipped import rules_dir
from proveout.model.problem import Problem
from proveout.text.compose import compose
from proveout.text.node import plain

VALVE, HOSE, EVAP, COMMON = "evap/valve.yaml", "evap/hose.yaml", "evap/evap.yaml", "common.yaml"
#: The sentence that stands in the book's text, and what names it.
SEEN = (HOSE, "almost-never, because: It can be seen.", "almost-never, because: {text: seen}")
SEEN_TOO = (HOSE, "because: It can be seen.}", "because: {text: seen}}")
CLEAR = (VALVE, "after_repair: [Clear the codes; none comes back.]", "after_repair: [{text: clear}]")
TEXTS = (
    "texts:\n  - {id: seen, text: It can be seen.}\n"
    "  - {id: clear, text: Clear the codes; none comes back.}\ntools:\n"
)
DECLARED = (COMMON, "tools:\n", TEXTS)


def test_a_named_text_gives_the_same_book_as_the_sentence_itself(tmp_path: Path) -> None:
    written = load_book(base=write_topics(tmp_path / "a"))
    named = load_book(base=write_topics(tmp_path / "b", SEEN, SEEN_TOO, CLEAR, DECLARED))
    assert named.digest == written.digest
    assert named.rules["hose-look=cracked"].because == "It can be seen."
    assert named.causes["valve-leaks"].after_repair == ("Clear the codes; none comes back.",)


def test_a_layer_names_the_texts_of_the_book_and_replaces_one(tmp_path: Path) -> None:
    base = write_topics(tmp_path / "base", SEEN, SEEN_TOO, CLEAR, DECLARED)
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "own.yaml").write_text(
        "texts:\n  - {id: seen, replaces: seen, text: Anybody sees it.}\n"
        "rules:\n  - {id: own, when: {symptom: smell}, seen_with: {valve-leaks: 0.5}, otherwise: 0.01,\n"
        "    source: own, because: {text: clear}}\n"
    )
    book = load_book([shop], base=base)
    assert book.rules["hose-look=cracked"].because == "Anybody sees it."
    assert book.rules["own"].because == "Clear the codes; none comes back."


PATTERN = """\
pattern: wired
takes: {say: {}}
texts: [{id: wired-clear, text: "Clear the codes of the {say}."}]
sources: {base_rate: from memory}
causes:
  - id: "{as}-open"
    title: "Wire of the {say} open"
    component: valve
    base_rate: 1 per 1000
    remedy: {action: repair, minutes: 30}
    after_repair: [{text: wired-clear}]
"""


def test_a_text_that_a_pattern_names_takes_its_parameters() -> None:
    use = "uses: [{pattern: wired, as: valve, say: shut-off valve}]\n"
    problems: list[Problem] = []
    sources = [Source("book", name, text.encode()) for name, text in (("a.yaml", PATTERN), ("b.yaml", use))]
    entries = assemble(sources, problems).of("causes")
    assert problems == []
    assert plain(entries["valve-open"].node)["after_repair"] == ["Clear the codes of the shut-off valve."]


#: What is typed, the complaint, a part of its words, and the line at which it stands.
FAULTS = [
    ((*CLEAR[:2], "after_repair: [{text: clera}]"), "text-unknown", "did you mean 'clear'?", (VALVE, 19)),
    (
        (*DECLARED[:2], TEXTS.replace("id: clear", "id: seen")),
        "duplicate-id",
        "the id 'seen' again",
        (COMMON, 0),
    ),
    (
        (*DECLARED[:2], TEXTS.replace("id: seen", "id: seen, replaces: seen")),
        "replaces",
        "but no layer below has it",
        (COMMON, 0),
    ),
    ((VALVE, "title: Valve leaks", "title: {text: clear}"), "schema-type", "text", (VALVE, 10)),
    ((VALVE, "steps: [Pump., Wait.]", "steps: [Pump: wait]"), "schema-type", "quote it: a colon", (VALVE, 0)),
    ((VALVE, "steps: [Pump., Wait.]", "steps: [5]"), "schema-type", "expected text (", (VALVE, 0)),
    ((*CLEAR[:2], "after_repair: [{text: clear, also: this}]"), "schema-type", "quote it", (VALVE, 19)),
]


@pytest.mark.parametrize(("edit", "name", "words", "at"), FAULTS)
def test_what_is_named_wrongly_is_told_where_it_stands(
    tmp_path: Path, edit: tuple[str, str, str], name: str, words: str, at: tuple[str, int]
) -> None:
    edits = [one for one in (SEEN, SEEN_TOO, CLEAR, DECLARED) if one[:2] != edit[:2]]
    found = [p for p in check(base=write_topics(tmp_path, *edits, edit)) if p.check == name]
    assert len(found) == 1, [str(p) for p in found]
    assert words in str(found[0])
    assert found[0].place.file.endswith(at[0])
    assert at[1] in (0, found[0].place.line)


def test_a_text_that_nothing_names_is_told(tmp_path: Path) -> None:
    _, problems = checked_from_texts((), base=write_topics(tmp_path, SEEN, SEEN_TOO, DECLARED))
    (problem,) = [p for p in problems if p.check == "unnamed-text"]
    assert "'clear'" in problem.saw


#: Where sentences stand that may be named, and from how many letters and places on they must be.
PROSE = {"does_not_mean", "after_repair", "because", "unweighed", "notes"}
LONG, OFTEN = 70, 3


def sentences(node: Any, key: str = "") -> list[str]:
    """Return the sentences below a node that stand under one of the keys ``PROSE``."""
    if isinstance(node, dict):
        return [found for name, value in node.items() for found in sentences(value, name)]
    if isinstance(node, list):
        return [found for value in node for found in sentences(value, key)]
    return [node] if isinstance(node, str) and key in PROSE else []


def test_no_sentence_of_the_shipped_book_is_written_out_in_three_places() -> None:
    found = defaultdict(list)
    for path in rules_dir().rglob("*.yaml"):
        root = plain(compose(path.read_text("utf-8"), path.name))
        # A use of a pattern says `because` of what differs, which is nothing that the book says.
        kept = {name: part for name, part in root.items() if name not in ("sources", "all_sources", "uses")}
        for sentence in sentences(kept):
            found[sentence].append(path.name)
    assert {s: files for s, files in found.items() if len(s) >= LONG and len(files) >= OFTEN} == {}
