"""Case files whose chain holds but whose bodies nobody's program would have written, given to every command.

Each body fails the program as it was before: an internal fault, a wrong answer, or an audit that calls it
whole.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from helpers_attack import HOSE, INTAKE, case_commands, home, run, sealed
from helpers_record import at
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import casefile

__all__ = ["home"]

DEEP: Any = []
for _ in range(30):
    DEEP = [DEEP]

#: Name to the events of a chain that must not be believed.
MISSHAPEN: dict[str, list[tuple[str, Any]]] = {
    "codes no list": [("intake", {"codes": "P0442"})],
    "code without a code": [("intake", {"codes": [{"status": "confirmed"}]})],
    "code a number": [("intake", {"codes": [442]})],
    "vehicle a text": [("intake", {**INTAKE, "vehicle": "old"})],
    "age a text": [("intake", {**INTAKE, "vehicle": {"age_years": "old"}})],
    "readings a mapping": [("intake", {**INTAKE, "readings": {"a": 1}})],
    "results a list": [("intake", {**INTAKE, "results": ["a"]})],
    "threshold below zero": [("intake", {**INTAKE, "costs": {"threshold": -1}})],
    "costs of another kind": [("intake", {**INTAKE, "costs": {"free": 1}})],
    "costs no numbers": [("intake", {**INTAKE, "costs": {"per_hour": "much"}})],
    "an empty intake": [("intake", {})],
    "own figures no list": [("intake", {**INTAKE, "own_figures": {"a": 1}})],
    "own figures without limits": [
        ("intake", {**INTAKE, "own_figures": [{"inspection": "x", "reference": "y"}]})
    ],
    "said a mapping": [("intake", {"said": [{"a": 1}]})],
    "too many codes": [("intake", {"codes": [f"P{n:04}" for n in range(1000)]})],
    "begins with a reading": [("reading", HOSE)],
    "two intakes": [("intake", INTAKE), ("intake", {"codes": ["P0442"]})],
    "a reading without an inspection": [("intake", INTAKE), ("reading", {"result": "sound"})],
    "a reading of another shape": [("intake", INTAKE), ("reading", {"inspection": ["x"], "result": "sound"})],
    "a series of numbers": [
        ("intake", INTAKE),
        ("reading", {"inspection": "tank-sensor-vacuum-series", "series": [1]}),
    ],
    "a note that adds a text": [("intake", INTAKE), ("note", {"adds": {"codes": "P0442"}})],
    "a note that adds another key": [("intake", INTAKE), ("note", {"adds": {"rules": ["x"]}})],
    "a withdrawal of a text": [("intake", INTAKE), ("withdrawal", {"event": "2"})],
    "causes that are numbers": [("intake", INTAKE), ("advice", {"causes": [1]})],
    "a confidence in words": [
        ("intake", INTAKE),
        ("advice", {"causes": [{"id": "x", "confidence": "sure"}]}),
    ],
    "a confidence of two": [("intake", INTAKE), ("advice", {"causes": [{"id": "x", "confidence": 2}]})],
    "a verdict in words": [("intake", INTAKE), ("advice", {"verdict": "repair"})],
    "reasons in one text": [("intake", INTAKE), ("advice", {"verdict": {"reasons": "so"}})],
    "a cost in words": [("intake", INTAKE), ("purchase", {"cause": "sensor-hose-cracked", "cost": "six"})],
    "a cost below zero": [("intake", INTAKE), ("purchase", {"cause": "sensor-hose-cracked", "cost": -6})],
    "a cause of a list": [("intake", INTAKE), ("purchase", {"cause": ["x"], "cost": 6})],
    "voids that are lists": [
        ("intake", INTAKE),
        ("repair", {"cause": "sensor-hose-cracked", "voids": [["x"]]}),
    ],
    "voids a number": [("intake", INTAKE), ("repair", {"cause": "sensor-hose-cracked", "voids": 3})],
    "repeated numbers": [("intake", INTAKE), ("repair", {"cause": "x"}), ("verification", {"repeated": [1]})],
    "repeated nothing": [
        ("intake", INTAKE),
        ("repair", {"cause": "x"}),
        ("verification", {"repeated": [{}]}),
    ],
    "codes now a text": [
        ("intake", INTAKE),
        ("repair", {"cause": "x"}),
        ("verification", {"codes_now": "P0442"}),
    ],
    "monitors a number": [
        ("intake", INTAKE),
        ("repair", {"cause": "x"}),
        ("verification", {"monitors_run": 1}),
    ],
    "closed as nothing": [("intake", INTAKE), ("close", {})],
    "closed as a list": [("intake", INTAKE), ("close", {"outcome": ["confirmed"]})],
    "deep": [("intake", INTAKE), ("note", {"adds": {"codes": DEEP}})],
    "a long text": [("intake", {**INTAKE, "title": "x" * 100_000})],
}


@pytest.mark.parametrize("name", MISSHAPEN)
def test_a_sealed_case_of_another_shape_is_damaged_for_every_command(
    name: str, home: Path, tmp_path: Path
) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    case = sealed(shop / "case.yaml", *MISSHAPEN[name])
    before = case.read_bytes()
    for arguments in case_commands(case, tmp_path / "page.html"):
        answer = run(*arguments, home=home)
        if arguments[0] == "cases" and MISSHAPEN[name][-1][0] == "advice":
            continue  # lists check of advices only where they stand in the chain
        if arguments[0] in ("cases", "learn"):
            assert "case.yaml" in answer.err, (arguments, answer)
        else:
            assert answer.code == 4, (arguments, answer)
            assert str(case) in (answer.out + answer.err).replace("\n    ", ""), (arguments, answer)
        if arguments[0] == "cases" and "--json" in arguments:
            assert json.loads(answer.out)["cases"] == []
    assert case.read_bytes() == before


@pytest.mark.parametrize("name", MISSHAPEN)
def test_nothing_of_another_shape_is_written_either(name: str, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    first, *others = MISSHAPEN[name]
    with pytest.raises(BadInputError):
        if first[0] != "intake":
            casefile.create(path, {}, at(1))
        casefile.create(path, first[1], at(1))
        casefile.append_all(path, others or [("intake", {})], at(2))


def test_a_refusal_names_file_line_what_was_seen_and_what_was_expected(tmp_path: Path) -> None:
    case = sealed(
        tmp_path / "case.yaml", ("intake", INTAKE), ("purchase", {"part": "hose", "cause": "x", "cost": -6})
    )
    line = case.read_text().splitlines().index("  cost: -6") + 1
    with pytest.raises(DamagedRecordError) as caught:
        casefile.read(case)
    (problem,) = caught.value.problems
    assert (problem.place.file, problem.place.line) == (str(case), line)
    assert "event 2" in problem.saw and "-6" in problem.saw and "at least 0" in problem.expected


def test_many_small_notes_cannot_say_more_than_one_intake(home: Path, tmp_path: Path) -> None:
    """16,000 codes took more than 120 s."""
    notes = [
        ("note", {"adds": {"codes": [f"P{n:04X}" for n in range(k, k + 150)]}}) for k in range(0, 12_000, 150)
    ]
    case = sealed(tmp_path / "case.yaml", ("intake", INTAKE), *notes)
    for command in ("triage", "why", "audit"):
        assert run(command, case, home=home).code in (3, 1, 0) and run("triage", case, home=home).code == 3


@pytest.mark.parametrize(
    "body", [{"codes": [f"P{n:04X}" for n in range(16_000)]}, {"said": ["it smells " * 199] * 1000}]
)
def test_more_than_anybody_means_is_refused_at_once(body: dict[str, Any], home: Path, tmp_path: Path) -> None:
    intake = tmp_path / "intake.yaml"
    intake.write_text(json.dumps(body))
    answer = run("triage", intake, home=home)
    assert answer.code == 3 and len(answer.err) < 5000, answer.err[:500]


@pytest.mark.parametrize(
    "under", ["altitude 1500 m", "barometer 95 kPa", "current 5 A", "-", "altitude", "x" * 3000]
)
def test_a_condition_that_does_not_fit_the_reading_is_refused(under: str, home: Path, tmp_path: Path) -> None:
    case = sealed(tmp_path / "case.yaml", ("intake", INTAKE))
    assert run("record", case, "tank-sensor-five-volts", "4.98 V", "--under", under, home=home).code in (0, 3)


def test_records_written_before_still_open() -> None:
    """Case files kept by earlier versions, with every kind of event."""
    for path in sorted((Path(__file__).parent.parent / "old_records").glob("*.yaml")):
        assert casefile.verify(path).sound, casefile.verify(path).problems


def test_the_oldest_records_are_there() -> None:
    assert list((Path(__file__).parent.parent / "old_records").glob("*.yaml"))
