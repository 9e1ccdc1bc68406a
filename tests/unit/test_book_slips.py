"""What is most probably not meant is told as a warning, and the book stays usable."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from helpers_book import rule, write_book
from proveout.book.checks import SLIPS
from proveout.book.load import check, checked_from_texts, load_book
from proveout.model.problem import WARNING, Problem

OWN = """\
- id: mine
  inspection: valve-holds
  limits: {limits}
  reference: handbook p. 9
"""
UNRAISED = (
    "causes.yaml",
    """\
- id: hose-soft
  title: Hose has gone soft
  component: hose
  base_rate: 1 per 1000
  base_rate_source: from memory
  remedy: {action: repair, minutes: 10}
""",
)


def warnings(home: Path, *layers: Path) -> list[Problem]:
    draft, problems = checked_from_texts(layers, base=home)
    assert draft is not None, [str(p) for p in problems]
    assert {p.severity for p in problems} <= {WARNING}
    load_book(layers, base=home)
    return list(problems)


def fact(condition: str) -> str:
    return rule("slip", f"{{all: [{{code: P0455}}, {condition}]}}", "weigh: {valve-leaks: often}")


#: The check's name, a further rule, what the complaint quotes.
SLIPPED = [
    ("out-of-proportion", fact("{fact: vehicle.age, at_least: 900 y}"), "900 y"),
    ("out-of-proportion", fact("{fact: vehicle.mileage, below: 90000000 km}"), "90000000 km"),
    ("thousands", fact("{fact: vehicle.mileage, at_least: 40.000 km}"), "`40.000 km`"),
]


@pytest.mark.parametrize(("name", "text", "quoted"), SLIPPED)
def test_a_slip_is_told_where_it_stands(tmp_path: Path, name: str, text: str, quoted: str) -> None:
    (problem,) = warnings(write_book(tmp_path, add=text))
    assert problem.check == name
    assert quoted in problem.saw
    assert problem.place.line > 0
    assert problem.mend


def test_a_text_that_is_nearly_one_that_others_ask_for(tmp_path: Path) -> None:
    text = "".join(
        rule(
            f"slip-{n}",
            f"{{all: [{{code: P0455}}, {{fact: vehicle.fuel, is: {fuel}}}{also}]}}",
            "weigh: {valve-leaks: often}",
        )
        for n, (fuel, also) in enumerate(
            [("petrol", ""), ("petrol", ", {replaced: hose}"), ("petrl", ", {replaced: valve}")]
        )
    )
    (problem,) = warnings(write_book(tmp_path, add=text))
    assert (problem.check, problem.mend) == ("unlikely-text", "did you mean 'petrol'?")


@pytest.mark.parametrize(
    ("limits", "name"),
    [
        ("{holds: ..-15}", "own-figures-unit"),
        ("{holds: -60..-15}", "own-figures-unit"),
        ("{holds: ..-15 kPa}", ""),
        ("{holds: ..-1.5e1 kPa}", ""),
        ("{holds: ..-40 kPa, leaks: -50 kPa..}", "own-figures-overlap"),
        ("{holds: ..-40 kPa, leaks: -40 kPa..}", ""),
    ],
)
def test_own_figures(tmp_path: Path, limits: str, name: str) -> None:
    layer = tmp_path / "shop"
    layer.mkdir()
    (layer / "own-figures.yaml").write_text(OWN.replace("{limits}", limits), "utf-8")
    assert [p.check for p in warnings(write_book(tmp_path / "book"), layer)] == ([name] if name else [])


@pytest.mark.parametrize(
    ("limits", "shares"),
    [
        ("{holds: ..-40, leaks: -45..}", True),
        ("{holds: ..-40, leaks: -60..-50, unsure: otherwise}", True),
        ("{leaks: -39.., holds: ..-30, unsure: otherwise}", True),
        ("{holds: ..-40, leaks: -40.., unsure: otherwise}", False),
        ("{holds: [..-60, -50..-40], leaks: -40.., unsure: otherwise}", False),
    ],
)
def test_limits_that_share_values(tmp_path: Path, limits: str, shares: bool) -> None:
    """Limits moved into earlier ones are what random changes of the book left unnoticed."""
    unsure = "    leaks: {is: abnormal, means: It passes air.}\n    unsure: {is: normal, means: Hard to say.}"
    edit = [
        ("{holds: ..-40, leaks: otherwise}", limits),
        ("    leaks: {is: abnormal, means: It passes air.}", unsure),
    ]
    found = warnings(write_book(tmp_path, edit={"inspections.yaml": edit}))
    assert [p.check for p in found] == ["limits-overlap"] * shares
    assert not shares or ("shares values with" in found[0].saw and found[0].place.line)


def test_an_inspection_that_finds_nothing_wrong(tmp_path: Path) -> None:
    add = (
        "- id: hose-warm\n  title: Hose gets warm\n  kind: visual\n  minutes: 2\n  results:\n"
        "    warm: {is: normal, means: It is.}\n    cold: {is: normal, means: It is not.}\n"
        "  steps: [Feel.]\n  source: common practice, no source\n- id: hose-look"
    )
    found = warnings(write_book(tmp_path, edit={"inspections.yaml": [("- id: hose-look", add)]}))
    assert [(p.check, p.place.line) for p in found if p.check == "nothing-abnormal"] == [
        ("nothing-abnormal", 28)
    ]


def test_a_word_said_twice(tmp_path: Path) -> None:
    home = write_book(tmp_path, edit={"symptoms.yaml": [("[stinks]", "[stinks, Smell, stinks!]")]})
    found = warnings(home)
    assert [(p.check, p.place.column) for p in found] == [("said-twice", 45), ("said-twice", 52)]


def test_a_cause_that_nothing_at_intake_brings_up(tmp_path: Path) -> None:
    home = write_book(
        tmp_path,
        edit={
            "causes.yaml": [("- id: hose-cracked", UNRAISED[1] + "- id: hose-cracked")],
            "inspections.yaml": [
                ("{hose-cracked: [cracked]}", "{hose-cracked: [cracked], hose-soft: [loose]}")
            ],
            "rules.yaml": [("weigh: {hose-cracked: 0.3}", "weigh: {hose-cracked: 0.3, hose-soft: 0.4}")],
        },
    )
    (problem,) = warnings(home)
    assert problem.check == "unraised-cause"
    assert "'hose-soft'" in problem.saw


def test_what_is_not_read_is_told(tmp_path: Path) -> None:
    home, layer, aside = write_book(tmp_path / "book"), tmp_path / "shop", tmp_path / "aside"
    for directory in (layer / "inner", aside):
        directory.mkdir(parents=True)
    (layer / "inner/more.YAML").write_text("causes: []\n", "utf-8")
    (layer / "notes.txt").write_text("to do\n", "utf-8")
    (layer / "linked").symlink_to(aside, target_is_directory=True)
    os.mkfifo(layer / "pipe.yaml")
    found = {p.place.file.rpartition("shop/")[2]: p for p in warnings(home, layer)}
    assert set(found) == {"inner/more.YAML", "linked", "pipe.yaml"}
    assert {p.check for p in found.values()} == {"not-read"}
    assert "rename it" in found["inner/more.YAML"].mend


def test_a_makers_code_is_to_be_declared(tmp_path: Path) -> None:
    text = rule("own", "{code: P1442}", "weigh: {hose-cracked: often}; otherwise: 0.001")
    (problem,) = [p for p in check(base=write_book(tmp_path, add=text)) if p.check == "unknown-id"]
    assert problem.mend == "declare it in a section 'codes:', with its meaning"


def test_the_shipped_book_has_no_slip() -> None:
    """Stray phrases are looked for by the command, which CI runs."""
    draft, problems = checked_from_texts()
    assert draft is not None
    assert [str(p) for p in problems] == []


def test_every_slip_has_a_page_of_its_own() -> None:
    for one in SLIPS:
        assert (one.__doc__ or "").startswith("Complain of ")
