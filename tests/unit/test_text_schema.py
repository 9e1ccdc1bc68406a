"""The schemas themselves, and complaints located and worded by them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from proveout.book.files import KINDS
from proveout.book.listed import LATER
from proveout.book.shipped import schemas_dir
from proveout.model.problem import BadInputError
from proveout.model.rule import FREQUENCY_WORDS
from proveout.text.compose import compose
from proveout.text.schema import validate

SCHEMAS = sorted(schemas_dir().glob("*.schema.json"))


def load(path: Path) -> Any:
    return json.loads(path.read_text("utf-8"))


#: What people write, against what the program writes.
BY_HAND = (*KINDS, "book", "common", "intake")
WRITTEN_BY_HAND = [p for p in SCHEMAS if p.name.removesuffix(".schema.json") in BY_HAND]


def undescribed(node: Any, words: Any, path: str = "#") -> Iterator[str]:
    """Return every property, and every alternative of fixed value, without a description.

    A property may leave the describing to the definition, among ``words``, that it refers to.
    """
    if isinstance(node, list):
        for at, item in enumerate(node):
            yield from undescribed(item, words, f"{path}/{at}")
    if not isinstance(node, dict):
        return
    if "const" in node and "description" not in node:
        yield path
    for name, inner in node.items():
        if name == "properties" and isinstance(inner, dict):
            for key, value in inner.items():
                shared = words.get(value.get("$ref", "").removeprefix("#/$defs/"), {})
                if not (value.get("description") or shared.get("description")):
                    yield f"{path}/{key}"
        yield from undescribed(inner, words, f"{path}/{name}")


@pytest.mark.parametrize("path", SCHEMAS, ids=lambda path: path.name)
def test_each_schema_is_draft_2020_12_and_describes_itself(path: Path) -> None:
    schema = load(path)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)
    assert schema["title"]
    assert schema["description"]


@pytest.mark.parametrize("path", SCHEMAS, ids=lambda path: path.name)
def test_each_property_and_fixed_value_is_described(path: Path) -> None:
    schema = load(path)
    assert list(undescribed(schema, schema.get("$defs", {}))) == []


@pytest.mark.parametrize("path", WRITTEN_BY_HAND, ids=lambda path: path.name)
def test_fixed_values_are_listed_with_descriptions(path: Path) -> None:
    """A bare ``enum`` tells its reader nothing: alternatives are ``anyOf`` of ``const``."""
    assert '"enum"' not in path.read_text("utf-8")


@pytest.mark.parametrize("path", SCHEMAS, ids=lambda path: path.name)
def test_each_schema_keeps_to_the_words_of_its_draft(path: Path) -> None:
    """Those of former drafts would be passed over in silence."""
    text = path.read_text("utf-8")
    for word in ("definitions", "dependencies", "additionalItems", "$recursiveRef"):
        assert f'"{word}"' not in text


def test_each_kind_of_entry_has_a_section_and_a_schema_of_its_own() -> None:
    """The one of its own describes files of the first form, which did not know the later ones."""
    first = set(KINDS) - set(LATER)
    assert {f"{kind}.schema.json" for kind in first} <= {path.name for path in SCHEMAS}
    assert {*KINDS, "sources", "all_sources", "texts", "uses", "all_codes"} == set(
        load(schemas_dir() / "book.schema.json")["properties"]
    )


def test_frequency_words_are_those_of_the_scale() -> None:
    options = load(schemas_dir() / "common.schema.json")["$defs"]["frequency"]["anyOf"]
    assert {o["const"]: float(o["description"]) for o in options if "const" in o} == FREQUENCY_WORDS


RULE = """\
- id: a-rule
  when: {code: P0442}
  weigh: {leak: often}
  otherwise: 0.001
  because: So it is.
  source: from memory
  examples: {fires: [{codes: [P0442]}], silent: [{codes: [P0455]}]}
"""


def test_a_sound_rule_passes() -> None:
    assert validate(compose(RULE, "r"), "rules") == ()


#: Text replaced, its replacement, check, line, column, and words of the complaint.
FAULTS = [
    ("id: a-rule", "id: A_rule", "schema-form", 1, 7, "small letters"),
    ("id: a-rule", 'id: "a-rule\\n"', "schema-form", 1, 7, "small letters"),
    ("because: So it is.", "becuase: So it is.", "schema-key", 5, 3, "did you mean 'because'?"),
    ("  because: So it is.\n", "", "schema-missing", 1, 3, "no 'because'"),
    ("{code: P0442}", "{code: P0442, and so on}", "schema-key", 2, 23, "within braces a comma"),
    ("source: from memory", "source: 3", "schema-type", 6, 11, "quote it"),
    ("source: from memory", "source: memory: mine", "yaml-syntax", 6, 17, ""),
    ("source: from memory", "source: {memory: mine}", "schema-type", 6, 11, "a colon followed by a blank"),
    ("leak: often", "leak: oftn", "schema-choice", 3, 17, "did you mean 'often'?"),
    ("leak: often", "leak: 1.5", "schema-value", 3, 17, "less than 1"),
    ("leak: often", "leak: 0", "schema-value", 3, 17, "more than 0"),
    ("leak: often", "Leak: often", "schema-form", 3, 11, "small letters"),
    ("{code: P0442}", "{cod: P0442}", "schema-choice", 2, 9, "did you mean 'code'?"),
    ("{code: P0442}", "{code: p0442}", "schema-form", 2, 16, "such as P0442"),
    ("{code: P0442}", "{code: P0442, state: pending}", "schema-key", 2, 23, "did you mean 'status'?"),
    ("{code: P0442}", "{code: P0442, status: pendng}", "schema-choice", 2, 31, "did you mean 'pending'?"),
    ("{code: P0442}", "{all: [{code: P0442}, {symtom: x}]}", "schema-choice", 2, 31, "mean 'symptom'?"),
    ("{code: P0442}", "{all: []}", "schema-value", 2, 15, "at least 1"),
    ("{code: P0442}", "{fact: vehicle.age, at_least: 12}", "schema-type", 2, 39, "such as 12 y"),
    ("{code: P0442}", "{fact: vehicle.agee, at_least: 12 y}", "schema-choice", 2, 16, "'vehicle.age'?"),
    ("{code: P0442}", "{inspection: x}", "schema-missing", 2, 9, "no 'result'"),
    ("{code: P0442}", "P0442", "schema-choice", 2, 9, "one condition"),
    ("  weigh: {leak: often}\n  otherwise: 0.001\n", "", "schema-choice", 1, 3, "none of conclude, weigh"),
    ("because", "conclude: x\n  because", "schema-choice", 1, 3, "conclude and weigh together"),
    ("fires: [{codes: [P0442]}]", "fires: []", "schema-value", 7, 21, "at least 1"),
    ("fires: [{codes: [P0442]}]", "fires: [{code: [P0442]}]", "schema-key", 7, 23, "did you mean 'codes'?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "check", "line", "column", "words"), FAULTS)
def test_each_fault_is_located_and_worded(
    old: str, new: str, check: str, line: int, column: int, words: str
) -> None:
    assert old in RULE
    try:
        problems = validate(compose(RULE.replace(old, new, 1), "r"), "rules")
    except BadInputError as error:
        problems = error.problems
    assert any(
        (p.check, p.place.line, p.place.column) == (check, line, column) and words in str(p) for p in problems
    ), [str(p) for p in problems]


INTAKES = [
    "codes: [P0442, {code: P0455, status: pending}]",
    "symptoms: [fuel-smell]\nvehicle: {age_years: 12, mileage_km: 180000, engine: 1.8 petrol, fuel: petrol}",
    "said: [it smells]\nfreeze_frame: {coolant_c: 90, rpm: 800, long_trim_pct: -4.5}",
    "results: {hose-look: cracked}",
    "readings: [{inspection: a, value: 2.1 V}, {inspection: c, result: cannot-tell}]",
    "readings: [{inspection: a, series: [[0, 2.5 V], [-1 kPa, 2.2]], instrument: meter, conditions: [cold]}]",
    "codes: [P0442]\nexpect: {verdict: inspect, next: look, not_proven: [leak]}\ncosts: {per_hour: 30}",
]


@pytest.mark.parametrize("text", INTAKES)
def test_intakes_pass(text: str) -> None:
    assert [str(p) for p in validate(compose(text, "i"), "intake")] == []


#: An intake, check, line, column, words.
BAD_INTAKES = [
    ("title: x", "schema-choice", 1, 1, "none of codes, code_families"),
    ("- codes", "schema-type", 1, 1, "keys with values"),
    ("", "schema-type", 1, 1, "nothing"),
    ("code: P0442\nsaid: [x]", "schema-key", 1, 1, "did you mean 'codes'?"),
    ("codes: P0442", "schema-type", 1, 8, "a list"),
    ("codes: [{code: P0442, status: on}]", "schema-choice", 1, 31, "confirmed"),
    ("symptoms: [a, b, a]", "schema-value", 1, 11, "'a' more than once"),
    ("readings: [{inspection: a, value: 2, result: b}]", "schema-choice", 1, 12, "value and result together"),
    ("readings: [{inspection: a}]", "schema-choice", 1, 12, "none of value, result, series"),
    ("said: [x]\nvehicle: {age_years: -1}", "schema-value", 2, 22, "at least 0"),
    ("said: [x]\nvehicle: {age: 3}", "schema-key", 2, 11, "age_years"),
    ("said: [x]\ncosts: {threshold: 1}", "schema-value", 2, 20, "less than 1"),
]


@pytest.mark.parametrize(("text", "check", "line", "column", "words"), BAD_INTAKES)
def test_bad_intakes_are_refused(text: str, check: str, line: int, column: int, words: str) -> None:
    problems = validate(compose(text, "i"), "intake")
    assert any(
        (p.check, p.place.line, p.place.column) == (check, line, column) and words in str(p) for p in problems
    ), [str(p) for p in problems]


def test_hostile_documents_do_not_take_for_ever() -> None:
    """Long lists that cannot be sorted, and more unknown keys than anyone wants to read of."""
    long = "symptoms: [" + ", ".join(f"{{a: {n}}}" for n in range(20_000)) + "]"
    wide = "\n".join(f"key{n}: 1" for n in range(20_000))
    assert len(validate(compose(long, "i"), "intake")) < 600
    assert len(validate(compose(wide, "i"), "intake")) < 600
