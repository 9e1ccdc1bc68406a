"""A case can be mended: facts are added and taken back, the last step is undone, and the advice follows."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import Answer, proveout
from proveout.record import casefile, state

Run = Callable[..., Answer]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home")


@pytest.fixture
def run(home: Path) -> Run:
    def done(*arguments: object) -> Answer:
        return proveout(*arguments, home=home)

    return done


@pytest.fixture
def car(tmp_path: Path, run: Run) -> Path:
    case = tmp_path / "car.yaml"
    assert run("intake", case, "--code", "P0442", "--mileage", "150,000", "--job", "J-7").code == 0
    return case


def holds(case: Path) -> dict[str, Any]:
    return state.merged(casefile.read(case))


def advised(case: Path, run: Run) -> Any:
    return json.loads(run("triage", case, "--json").out)["next"]["id"]


def test_facts_are_added_by_title_and_taken_back_and_undone(car: Path, run: Run) -> None:
    before = holds(car)
    assert before["vehicle"] == {"mileage_km": 150_000.0} and before["about"] == {"job": "J-7"}
    added = run(
        "amend", car, "--code", "P0171:pending", "--symptom", "Smell of fuel", "--tool", "hand vacuum pump"
    )
    assert added.code == 0 and "What changed" in added.out and "Record it with:" in added.out
    assert holds(car)["symptoms"] == ["fuel-smell"] and holds(car)["tools"] == ["hand-vacuum-pump"]
    assert run("amend", car, "--withdraw", "p0171", "--withdraw", "mileage").code == 0
    assert holds(car)["codes"] == ["P0442"] and "vehicle" not in holds(car)
    assert run("undo", car).code == run("undo", car).code == 0
    assert holds(car) == before
    refused = run("undo", car)
    assert refused.code == 3 and "intake" in refused.err
    assert run("audit", car).code == 0


def test_an_absent_symptom_takes_the_place_of_one_that_was_there(car: Path, run: Run) -> None:
    run("amend", car, "--symptom", "fuel-smell")
    run("amend", car, "--absent", "fuel-smell")
    assert "symptoms" not in holds(car) or holds(car)["symptoms"] == []
    assert holds(car)["symptoms_absent"] == ["fuel-smell"]


def test_what_cannot_be_done_is_set_aside_and_weighs_nothing(car: Path, run: Run) -> None:
    before = json.loads(run("triage", car, "--json").out)
    assert run("record", car, "not-today").code == 0
    after = json.loads(run("triage", car, "--json").out)
    assert after["causes"] == before["causes"]
    assert after["next"]["id"] != before["next"]["id"]
    assert before["next"]["id"] not in [other["id"] for other in after["others"]]
    assert run("amend", car, "--withdraw", before["next"]["id"]).code == 0
    assert advised(car, run) == before["next"]["id"]


def test_the_proposed_inspection_needs_no_name(car: Path, run: Run) -> None:
    proposed = advised(car, run)
    assert run("record", car, "cannot-tell").code == 0
    assert holds(car)["readings"] == [{"inspection": proposed, "result": "cannot-tell"}]


def test_a_wrong_name_says_what_is_near_and_writes_nothing(car: Path, run: Run) -> None:
    before = car.read_bytes()
    for arguments, hint in (
        (("amend", car, "--symptom", "fuel smel at"), "fuel-smell"),
        (("amend", car, "--withdraw", "P0300"), "P0300"),
        (("amend", car), "Nothing was given"),
        (("amend", car, "--frame", "zz"), "hexadecimal"),
        (("record", car, "purge valve", "leaks"), "purge-valve"),
    ):
        answer = run(*arguments)
        assert answer.code in (2, 3) and hint in answer.err, answer.err
    assert car.read_bytes() == before


def test_a_table_with_other_headings_is_read_as_stated(tmp_path: Path, run: Run) -> None:
    table = tmp_path / "reader.csv"
    table.write_text(
        "DTC;State;Item;Reading;Unit\nP0442;pending;;;\n"
        ";;Engine coolant temperature;190;°F\n;;Moon phase;3;\n",
        encoding="utf-8",
    )
    columns = ("code=DTC", "status=State", "name=Item", "value=Reading", "unit=Unit")
    case = tmp_path / "car.yaml"
    answer = run("intake", case, "--table", table, *(word for item in columns for word in ("--column", item)))
    assert answer.code == 0 and "Moon phase" in answer.err
    assert holds(case)["codes"] == [{"code": "P0442", "status": "pending"}]
    assert holds(case)["freeze_frame"] == {"coolant_c": pytest.approx(87.78)}


def test_bytes_become_a_freeze_frame_and_monitors(tmp_path: Path, run: Run) -> None:
    """Source of the bytes' meaning: SAE J1979 scalings, A-40 and (256A+B)/4; the word's from memory."""
    case = tmp_path / "car.yaml"
    given = ("--frame", "05=7B 0C=1AF8", "--readiness", "00 07 65 04")
    assert run("intake", case, "--code", "P0442", *given).code == 0
    assert holds(case)["freeze_frame"] == {"coolant_c": 83.0, "rpm": 1726.0}
    assert "catalyst" in holds(case)["monitors_run"] and "evap" not in holds(case)["monitors_run"]


def test_free_facts_stay_out_of_json(car: Path, run: Run) -> None:
    for command in (("triage", car), ("why", car), ("audit", car)):
        assert "J-7" not in run(*command, "--json").out


def test_several_codes_are_said_in_short(run: Run) -> None:
    short = run("code", "P0442", "P0300").out
    assert "Usually behind it:" in short and "First:" in short and "P0300" in short
    assert len(run("code", "P0442", "--full").out) > 0
    document = json.loads(run("code", "P0442", "P0300", "--json").out)
    assert [item["code"] for item in document["codes"]] == ["P0442", "P0300"]
