"""Loading: built entries, layers, digest, strata, and files of every sort."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from helpers_book import CLEAN, REST, rule, write_book
from proveout.book.conditions import fact_predicate
from proveout.book.load import check, load_book
from proveout.book.shipped import cases_dir, rules_dir, schemas_dir
from proveout.model.atom import Atom, Observable
from proveout.model.entries import Range
from proveout.model.problem import BadInputError, Place
from proveout.model.specs import Band


def shop(home: Path, **files: str) -> Path:
    """Write a layer of its own: file name without ``.yaml``, dots as ``__``, to text."""
    home.mkdir(parents=True)
    for name, text in files.items():
        (home / f"{name.replace('__', '.')}.yaml").write_text(text, encoding="utf-8")
    return home


def test_entries_are_built_as_they_stand(tmp_path: Path) -> None:
    book = load_book(base=write_book(tmp_path))
    cause = book.causes["valve-leaks"]
    assert cause.base_rate == pytest.approx(0.02)
    assert [(f.when.all_of[0].key, f.times) for f in cause.factors] == [
        ("vehicle.age at_least 12 y", 1.5),
        ("tank-out", 4.0),
    ]
    assert (cause.remedy.part_cost, cause.remedy.minutes) == (Range(30, 60), 20)
    assert (cause.place.line, cause.layer) == (1, "book")
    inspection = book.inspections["valve-holds"]
    assert inspection.reading is not None
    bands = inspection.reading.bands
    assert [(b.result, b.low, b.high) for b in bands] == [("holds", None, -40.0), ("leaks", None, None)]
    assert isinstance(bands[0], Band)
    assert inspection.reading.possible == (-101.3, 200.0)
    assert [r.normal for r in inspection.results] == [True, False]
    assert book.words.components["valve"].new_part_bad == pytest.approx(0.03)
    assert book.words.components["hose"].new_part_bad == pytest.approx(0.01)
    assert book.words.tools["pump"].price == Range(25, 50)


def test_rules_and_indexes_are_compiled(tmp_path: Path) -> None:
    book = load_book(base=write_book(tmp_path))
    fired = book.rules["valve-fails"]
    assert fired.observes == Atom("result", "valve-holds", "leaks")
    assert (fired.weights, fired.otherwise) == ({"valve-leaks": 0.97}, 0.03)
    assert [e.fires for e in fired.examples] == [True, False]
    assert fired.examples[0].intake == {"results": {"valve-holds": "leaks"}}
    wet = book.rules["large-leak-wet"]
    assert wet.observes == Atom("code", "P0455", "set")
    assert wet.context == {Atom("finding", "wet", "true")}
    assert book.weighing[Observable("code", "P0455")] == ("large-leak", "large-leak-wet")
    assert book.weighing[Observable("finding", "open-system")] == ("open-weighs",)
    assert book.proved_by == {"hose-cracked": ("hose-look",), "valve-leaks": ("valve-holds",)}
    assert book.predicates == (fact_predicate("vehicle.age", "at_least", 12.0),)


def test_a_code_with_a_status_is_both_when_needed_and_its_status_otherwise(tmp_path: Path) -> None:
    text = rule("a", "{all: [{code: P0442, status: pending}]}", "conclude: wet")
    text += rule(
        "b",
        "{any: [{code: P0442, status: pending}], none: [{code: P0455, status: permanent}]}",
        "conclude: wet",
    )
    book = load_book(base=write_book(tmp_path, add=text))
    pending = Atom("status", "P0442", "pending")
    assert book.rules["a"].when.all_of == (Atom("code", "P0442", "set"), pending)
    assert book.rules["b"].when.any_of == (pending,)
    assert book.rules["b"].when.none_of == (Atom("status", "P0455", "permanent"),)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("{fact: vehicle.mileage, below: 100000 km}", "vehicle.mileage below 100000 km"),
        ("{fact: vehicle.mileage, below: 1234567.5km}", "vehicle.mileage below 1234567.5 km"),
        ("{fact: frame.coolant, at_least: -5.0 C}", "frame.coolant at_least -5 degC"),
        ("{fact: frame.fuel_level, at_least: 85 %}", "frame.fuel_level at_least 85 %"),
        ("{fact: vehicle.fuel, is:  Bio  Petrol}", "vehicle.fuel is bio petrol"),
    ],
)
def test_facts_become_canonical_text(tmp_path: Path, text: str, key: str) -> None:
    book = load_book(base=write_book(tmp_path, add=rule("f", text, "conclude: wet")))
    assert book.rules["f"].when.all_of == (Atom("fact", key, "true"),)
    assert key in {p.atom.key for p in book.predicates}


def test_a_rule_stands_above_those_that_conclude_what_it_excludes(tmp_path: Path) -> None:
    more = "".join(f"- {{id: f{n}, title: F}}\n" for n in range(4))
    text = rule("r0", "{code: P0442}", "conclude: f0")
    text += rule("r1", "{all: [{code: P0442}], none: [{finding: f0}]}", "conclude: f1")
    text += rule("r2", "{any: [{finding: f1}, {finding: f0}]}", "conclude: f2")
    text += rule("r3", "{all: [{code: P0455}], none: [{finding: f2}]}", "conclude: f3")
    text += rule("r4", "{all: [{code: P0455}, {finding: f3}]}", "conclude: wet")
    home = write_book(tmp_path, add=text)
    (home / "more.findings.yaml").write_text(more)
    book = load_book(base=home)
    assert {name: book.stratum[name] for name in ("r0", "r1", "r2", "r3", "r4", "rain-wets")} == {
        "r0": 0,
        "r1": 1,
        "r2": 1,
        "r3": 2,
        "r4": 2,
        "rain-wets": 0,
    }


def test_a_series_is_built_and_its_ends_checked(tmp_path: Path) -> None:
    series = """\
    series:
      stimulus: {quantity: pressure, unit: kPa, relative_to: atmosphere}
      at_least: 4
      start: 2.3..2.7
      direction: falls
      span: 0.3
      noise: 0.08
      repeat: 0.12
      low_end: 0.5
      high_end: 4.5
      classes: {good: holds, biased: leaks, stuck: leaks, stuck-low: leaks, noisy: leaks, reversed: leaks,
                hysteresis: leaks}
"""
    reading = (
        "    quantity: pressure\n    unit: kPa\n    relative_to: atmosphere\n    possible: -101.3..200\n"
    )
    edit = [
        (reading, "    quantity: voltage\n    unit: V\n    possible: 0..5.5\n"),
        ("    limits: {holds: ..-40, leaks: otherwise}\n", series),
    ]
    spec = load_book(base=write_book(tmp_path / "a", edit={"inspections.yaml": edit})).inspections[
        "valve-holds"
    ]
    assert spec.reading is not None
    found = spec.reading.series
    assert found is not None
    assert (found.start, found.low_end, found.at_least, found.law) == ((2.3, 2.7), 0.5, 4, "line")
    assert found.classes["stuck-low"] == "leaks"
    for old, new in [("      low_end: 0.5\n", ""), ("low_end: 0.5", "low_end: 4.5")]:
        home = write_book(tmp_path / f"b{len(new)}", edit={"inspections.yaml": [*edit, (old, new)]})
        assert {p.check for p in check(base=home)} == {"series-ends"}


def test_a_layer_adds_and_replaces_and_is_named(tmp_path: Path) -> None:
    base = write_book(tmp_path / "base")
    layer = shop(
        tmp_path / "shop",
        rules=rule("ours", "{code: P0442}", "conclude: wet")
        + "- id: large-leak\n  replaces: large-leak\n  when: {code: P0455}\n"
        + "  weigh: {hose-cracked: 0.5}\n  otherwise: 0.0005\n"
        + REST,
    )
    book = load_book([layer], base=base)
    assert book.layers == ("book", "shop")
    assert book.rules["ours"].layer == "shop"
    assert (book.rules["large-leak"].layer, book.rules["large-leak"].weights) == (
        "shop",
        {"hose-cracked": 0.5},
    )
    assert book.rules["hose-seen"].layer == "book"
    assert book.rules["ours"].place.file == f"{layer}/rules.yaml"


def test_layers_of_one_name_are_told_apart(tmp_path: Path) -> None:
    one = shop(
        tmp_path / "a" / "shop",
        findings="- {id: x, title: X}\n",
        rules=rule("x", "{code: P0442}", "conclude: x"),
    )
    two = shop(tmp_path / "b" / "shop", rules=rule("y", "{finding: x}", "conclude: wet"))
    assert load_book([one, two], base=write_book(tmp_path / "base")).layers == ("book", "shop", "shop-2")


@pytest.mark.parametrize(
    ("text", "check_name"),
    [
        ("- {id: wet, title: Again}\n", "duplicate-id"),
        ("- {id: dry, replaces: dry, title: Dry}\n", "replaces"),
        ("- {id: dry, replaces: wet, title: Dry}\n", "replaces"),
        ("- {id: wet, replaces: open-system, title: Dry}\n", "replaces"),
    ],
)
def test_a_layer_that_does_not_fit_is_refused(tmp_path: Path, text: str, check_name: str) -> None:
    layer = shop(tmp_path / "shop", findings=text)
    problems = check([layer], base=write_book(tmp_path / "base"))
    assert check_name in {p.check for p in problems}
    assert all(p.place.file.startswith(str(layer)) for p in problems if p.check == check_name)


def test_the_digest_knows_content_only(tmp_path: Path) -> None:
    """Neither layout, order of entries and keys, notation nor layers matter; any change of content does."""
    base = write_book(tmp_path / "a")
    digest = load_book(base=base).digest
    assert len(digest) == 64
    other = tmp_path / "b" / "deep" / "er"
    other.mkdir(parents=True)
    for name, text in CLEAN.items():
        (other / f"evap.{name}").write_text(text)
    entries = CLEAN["rules.yaml"].split("- id: ")[1:]
    (other / "evap.rules.yaml").unlink()
    for at, entry in enumerate(reversed(entries)):
        (other / f"{at}.rules.yaml").write_text("# a remark\n- id: " + entry.replace("0.6}", "6.0e-1}"))
    assert load_book(base=tmp_path / "b").digest == digest
    split = write_book(tmp_path / "c")
    (split / "recent-work.yaml").unlink()
    layer = shop(tmp_path / "shop", **{"recent-work": CLEAN["recent-work.yaml"]})
    assert load_book([layer], base=split).digest == digest
    again = CLEAN["recent-work.yaml"].replace("tank-out,", "tank-out, replaces: tank-out,")
    assert load_book([shop(tmp_path / "again", **{"recent-work": again})], base=base).digest == digest
    changed = write_book(tmp_path / "d", edit={"cautions.yaml": [("Let it cool.", "Let it cool!")]})
    assert load_book(base=changed).digest != digest


def test_the_digest_of_a_known_content_is_what_rfc_8785_gives(tmp_path: Path) -> None:
    """Worked by hand: sorted keys, no blanks, no empty kinds; the digest of it by the standard library."""
    import hashlib

    from proveout.book.digest import digest_of
    from proveout.book.files import gather, lay
    from proveout.book.raw import assemble

    home = shop(tmp_path / "h", cautions="- {title: Hot, id: hot, text: é}\n")
    raw = assemble(gather(lay(home, [])[0], []), [])
    canonical = '{"cautions":{"hot":{"id":"hot","text":"é","title":"Hot"}}}'
    assert digest_of(raw) == hashlib.sha256(canonical.encode()).hexdigest()


def test_all_files_are_reported_in_one_run(tmp_path: Path) -> None:
    base = write_book(
        tmp_path / "b",
        edit={
            "causes.yaml": [("component: valve", "component: valv"), ("minutes: 10", "minutes: ten")],
            "tools.yaml": [("basic: false", "basic: no")],
            "access.yaml": [("{id: bay", "{id: [bay")],
            "findings.yaml": [("title: Water", "title: &a Water")],
        },
    )
    (base / "notes.yaml").write_text("- 1\n")
    (base / "more.rules.yml").write_text("- 1\n")
    (base / "bad.rules.yaml").write_bytes(b"- \xff\n")
    with pytest.raises(BadInputError) as raised:
        load_book(base=base)
    problems = raised.value.problems
    assert list(problems) == sorted(problems)
    assert {p.check for p in problems} >= {
        "unknown-id",
        "schema-type",
        "yaml-syntax",
        "yaml-anchor",
        "file-name",
        "not-utf8",
    }


def test_unreadable_kinds_do_not_make_their_references_unknown(tmp_path: Path) -> None:
    base = write_book(tmp_path / "b", edit={"access.yaml": [("{id: bay", "{id: [bay")]})
    assert {p.check for p in check(base=base)} == {"yaml-syntax"}


def test_directories_of_every_sort(tmp_path: Path) -> None:
    base = write_book(tmp_path / "b")
    (base / ".hidden").mkdir()
    (base / ".hidden" / "rules.yaml").write_text("bad: [")
    (base / ".swap.rules.yaml").write_text("bad: [")
    (base / "readme.md").write_text("not ours")
    (base / "loop").symlink_to(base)
    (base / "dangling.rules.yaml").symlink_to(base / "nowhere")
    assert check(base=base) == ()
    (problem,) = check([tmp_path / "none"], base=base)
    assert (problem.check, problem.place) == ("layer-missing", Place(str(tmp_path / "none")))
    assert {p.check for p in check([base / "readme.md"], base=base)} == {"layer-missing"}


def test_a_file_name_that_is_no_utf8_is_named_all_the_same(tmp_path: Path) -> None:
    base = write_book(tmp_path / "b")
    name = os.fsencode(base) + b"/\xff.rules.yaml"
    try:
        Path(os.fsdecode(name)).write_text("- 1\n")
    except OSError:
        pytest.skip("this file system takes no such name")
    problems = check(base=base)
    assert problems
    assert all("\\udcff" in p.place.file for p in problems)
    "\n".join(map(str, problems)).encode("utf-8")


def test_an_empty_book_is_clean_and_an_empty_file_is_not(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    book = load_book(base=tmp_path / "b")
    assert (book.rules, book.layers) == ({}, ("book",))
    assert load_book(base=None).layers == ()
    (tmp_path / "b" / "rules.yaml").write_text("")
    (problem,) = check(base=tmp_path / "b")
    assert (problem.place.line, problem.saw) == (1, "nothing")


def test_shipped_directories_are_there() -> None:
    assert (rules_dir() / "common").is_dir()
    assert (schemas_dir() / "common.schema.json").is_file()
    assert cases_dir().is_dir()
