"""A case from intake to verdict on the command line, as its owner would type it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from helpers_cli import proveout, write_yaml
from helpers_shipped import shipped_book
from proveout.text.compose import compose
from proveout.text.schema import validate


def triage_json(*arguments: object, home: Path) -> dict[str, object]:
    answer = proveout("triage", *arguments, "--json", home=home)
    assert answer.code == 0, answer.err
    assert not validate(compose(answer.out, "triage.json"), "triage")
    document: dict[str, object] = json.loads(answer.out)
    return document


def test_a_code_alone_gives_a_first_inspection_that_needs_no_tool(tmp_path: Path) -> None:
    answer = proveout("intake", tmp_path / "car.yaml", "--code", "P0442", home=tmp_path)
    assert answer.code == 0, answer.err
    document = triage_json(tmp_path / "car.yaml", home=tmp_path)
    proposed = document["next"]
    assert isinstance(proposed, dict)
    tools = shipped_book().words.tools
    assert all(tools[tool].basic for tool in proposed["tools"])
    assert document["verdict"]["kind"] == "inspect"  # type: ignore[index]


def test_a_recorded_result_changes_the_answer_and_withdrawing_restores_it(tmp_path: Path) -> None:
    car = tmp_path / "car.yaml"
    proveout("intake", car, "--code", "P0442", "--age", "14", home=tmp_path)
    before = triage_json(car, home=tmp_path)
    answer = proveout("record", car, "cap-seal-look", "damaged", home=tmp_path)
    assert answer.code == 0, answer.err
    assert "What changed" in answer.out and "Verdict" in answer.out
    assert triage_json(car, home=tmp_path) != before
    number = next(
        line.split()[1] for line in _reading_event(car.read_text()).splitlines() if line.startswith("n: ")
    )
    assert proveout("record", car, "--withdraw", number, home=tmp_path).code == 0
    assert triage_json(car, home=tmp_path) == before


def _reading_event(text: str) -> str:
    return next(part for part in text.split("---\n") if "kind: reading" in part)


def test_a_value_with_its_unit_and_the_same_value_in_another_give_the_same(tmp_path: Path) -> None:
    answers = []
    for name, value in (("a", ("-50", "kPa")), ("b", ("-0.5", "bar"))):
        car = tmp_path / f"{name}.yaml"
        proveout("intake", car, "--code", "P0442", "--tool", "hand-vacuum-pump", home=tmp_path)
        answer = proveout("record", car, "purge-valve-holds-vacuum", *value, home=tmp_path)
        assert answer.code == 0, answer.err
        document = triage_json(car, home=tmp_path)
        answers.append((document["causes"], document["verdict"]))
    assert answers[0] == answers[1]


@pytest.mark.parametrize(
    ("reading", "hint"),
    [
        (("12", "kg"), "kPa"),
        (("-300", "kPa"), "possible"),
        (("no", "idea"), "purge-valve-holds-vacuum"),
        ((), "leaks"),
    ],
)
def test_what_the_meter_cannot_give_is_refused_and_nothing_is_written(
    tmp_path: Path, reading: tuple[str, ...], hint: str
) -> None:
    car = tmp_path / "car.yaml"
    proveout("intake", car, "--code", "P0442", home=tmp_path)
    before = car.read_bytes()
    answer = proveout("record", car, "purge-valve-holds-vacuum", *reading, home=tmp_path)
    assert answer.code in (2, 3) and "Traceback" not in answer.err
    assert answer.err.strip() and answer.out == ""
    assert car.read_bytes() == before
    del hint


def test_an_intake_document_can_be_triaged_without_a_case_file_and_from_standard_input(
    tmp_path: Path,
) -> None:
    document = {"codes": ["P0456"], "vehicle": {"age_years": 9}}
    path = write_yaml(tmp_path / "intake.yaml", document)
    from_file = proveout("triage", path, "--json", home=tmp_path)
    from_stdin = proveout("triage", "-", "--json", home=tmp_path, stdin=path.read_text())
    assert from_file.code == from_stdin.code == 0
    assert from_file.out == from_stdin.out


def test_why_adds_up_and_names_the_rules_with_their_places(tmp_path: Path) -> None:
    path = write_yaml(tmp_path / "intake.yaml", {"codes": ["P0442"], "results": {"cap-seal-look": "damaged"}})
    answer = proveout("why", path, "--json", home=tmp_path)
    document = json.loads(answer.out)
    ledger = document["ledger"]
    assert sum(entry["decibans"] for entry in ledger["entries"]) == pytest.approx(ledger["total"], abs=1e-6)
    confidence = next(cause["confidence"] for cause in document["causes"] if cause["id"] == document["cause"])
    assert 1 / (1 + 10 ** (-ledger["total"] / 10)) == pytest.approx(confidence, abs=1e-6)
    text = proveout("why", path, home=tmp_path).out
    assert "rules/evap/fuel-cap.yaml:" in text and "decibans" in text


def test_a_shop_layer_speaks_and_the_reasons_show_it(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    arguments = ["--in", shop, "--observe", "code:P0442", "--cause", "filler-cap-seal-leaking"]
    made = proveout("rules", "new", "shop-old-cap", *arguments, home=tmp_path)
    assert made.code == 0, made.err
    assert proveout("rules", "check", shop, home=tmp_path).code == 0
    tried = proveout("rules", "test", shop, "--only", "shop-old-cap", home=tmp_path)
    assert tried.code == 0 and "2 passed" in tried.out
    path = write_yaml(tmp_path / "intake.yaml", {"codes": ["P0442"], "vehicle": {"age_years": 15}})
    text = proveout("why", path, "filler-cap-seal-leaking", "--rules", shop, home=tmp_path).out
    assert "shop-old-cap" in text and "layer shop" in text


def test_every_step_of_the_demo_validates_and_ends_in_a_verdict(tmp_path: Path) -> None:
    answer = proveout("demo", "--json", home=tmp_path)
    assert answer.code == 0, answer.err
    steps = json.loads(answer.out)["steps"]
    assert len(steps) >= 3
    for step in steps:
        assert not validate(compose(json.dumps(step), "step"), "triage")
    assert [step["verdict"]["kind"] for step in steps[:-1]] == ["inspect"] * (len(steps) - 1)
    assert steps[-1]["verdict"]["kind"] == "repair"


def test_the_demo_in_text_tells_the_story_and_the_remedy(tmp_path: Path) -> None:
    answer = proveout("demo", home=tmp_path)
    assert answer.code == 0
    assert (
        "Inspected: " in answer.out
        and "Proven: " in answer.out
        and "How to prove the repair held" in answer.out
    )
