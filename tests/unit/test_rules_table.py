"""A topic as a DMN decision table holds in the same facts as its rules; read with the standard library.

That it fits the OMG's DMN 1.3 schema is tested in ``tests/published/test_dmn_schema.py``.
"""

from __future__ import annotations

import random
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

from helpers_cli import proveout
from helpers_shipped import shipped_book
from proveout.app.topics import rules_of
from proveout.model.atom import FACT, RESULT, STATUS, Atom
from proveout.model.book import Predicate
from proveout.model.rule import Rule
from proveout.show.decision_table import MODEL, decision_table

#: The input and output entries of a line.
Row = tuple[tuple[str, ...], tuple[str, ...]]
NS = f"{{{MODEL}}}"
HIT_POLICIES = {"UNIQUE", "FIRST", "PRIORITY", "ANY", "COLLECT", "RULE ORDER", "OUTPUT ORDER"}


def read(text: str) -> tuple[list[str], list[Row]]:
    """Return the names of the inputs, and of each line its input and output entries; the form is required."""
    root = ET.fromstring(text)
    assert root.tag == f"{NS}definitions" and {"name", "namespace"} <= root.attrib.keys()
    (table,) = root.iter(f"{NS}decisionTable")
    assert table.attrib["hitPolicy"] == "COLLECT" and "COLLECT" in HIT_POLICIES
    assert "aggregation" not in table.attrib, "with several outputs nothing can be added up"
    order = ["input", "output", "annotation", "rule"]
    assert [tag for tag in order if table.find(f"{NS}{tag}") is not None] == order
    places = [order.index(child.tag.removeprefix(NS)) for child in table]
    assert places == sorted(places)
    names = [one.findtext(f"{NS}inputExpression/{NS}text") or "" for one in table.findall(f"{NS}input")]
    data = {one.attrib["id"]: one.attrib["name"] for one in root.iter(f"{NS}inputData")}
    needed = [one.attrib["href"].removeprefix("#") for one in root.iter(f"{NS}requiredInput")]
    assert sorted(data[one] for one in needed) == sorted(names)
    ids = [one.attrib["id"] for one in root.iter() if "id" in one.attrib]
    assert len(ids) == len(set(ids))
    outputs = len(table.findall(f"{NS}output"))
    rows = []
    for rule in table.findall(f"{NS}rule"):
        entries = [
            tuple(one.findtext(f"{NS}text") or "" for one in rule.findall(f"{NS}{tag}"))
            for tag in ("inputEntry", "outputEntry")
        ]
        assert len(entries[0]) == len(names) and len(entries[1]) == outputs
        rows.append((entries[0], entries[1]))
    return names, rows


def passes(entry: str, value: object) -> bool:
    """Evaluate the few unary tests of FEEL that our tables have."""
    if entry == "-":
        return True
    if entry.startswith("?"):
        return all(passes(part.replace("? = ", "").replace("? ", ""), value) for part in entry.split(" and "))
    if entry.startswith("not("):
        return not passes(entry[4:-1].replace("? = ", "").replace("? ", ""), value)
    if found := re.fullmatch(r"(>=|<) (.+)", entry):
        assert isinstance(value, float)
        return value >= float(found[2]) if found[1] == ">=" else value < float(found[2])
    return value is True if entry == "true" else value == entry.strip('"')


def test_the_lines_that_hold_are_those_of_the_rules_that_hold() -> None:
    book, rng = shipped_book(), random.Random(5)
    predicates = {one.atom: one for one in book.predicates}
    held = 0
    for topic in sorted({rule.place.file for rule in book.rules.values()})[::12]:
        rules = rules_of(topic, book)
        names, rows = read(decision_table(book, topic, rules))
        assert {row[1][0].strip('"') for row in rows} == {rule.id for rule in rules}
        atoms = sorted({atom for rule in rules for atom in rule.when.atoms})
        for _ in range(12):
            facts, values = a_world(rng, rng.choice(rules), atoms, predicates)
            mine = {rule.id for rule in rules if rule.when.holds(facts)}
            theirs = {
                row[1][0].strip('"')
                for row in rows
                if all(passes(entry, values.get(name)) for entry, name in zip(row[0], names, strict=True))
            }
            assert theirs == mine, (topic, facts)
            held += len(mine)
    assert held > 100


def a_world(
    rng: random.Random, likely: Rule, atoms: list[Atom], predicates: dict[Atom, Predicate]
) -> tuple[frozenset[Atom], dict[str, Any]]:
    """Return facts, those of one rule mostly, and the same as values of inputs."""
    facts: set[Atom] = set()
    values: dict[str, Any] = {}
    for atom in sorted(atoms, key=lambda one: (one not in likely.when.atoms, rng.random())):
        if atom.kind == FACT:
            one = predicates[atom]
            near = one.text if one.number is None else one.number + rng.choice([-1.0, 0.0, 1.0])
            value = values.setdefault(one.fact.replace(".", "__"), near)
            if (
                (value >= one.number) == (one.op == "at_least")
                if one.number is not None
                else value == one.text
            ):
                facts.add(atom)
            continue
        name = f"{atom.kind}_{atom.key}".replace(".", "__").replace("-", "_")
        if name not in values and rng.random() < (0.8 if atom in likely.when.atoms else 0.2):
            values[name] = atom.value if atom.kind in (RESULT, STATUS) else True
            facts.add(atom)
    return frozenset(facts), values


def test_from_the_command_line(tmp_path: Path) -> None:
    out = tmp_path / "valve.dmn"
    done = proveout("rules", "table", "evap/purge-valve.yaml", "--out", out, home=tmp_path)
    assert done.code == 0, done.err
    names, rows = read(out.read_text())
    assert len(rows) > 5 and "result_purge_valve_holds_vacuum" in names
    assert "computes no confidence" in out.read_text()
    wrong = proveout("rules", "table", "evap/purge-valv.yaml", home=tmp_path)
    assert wrong.code == 3 and "no such file" in wrong.err
