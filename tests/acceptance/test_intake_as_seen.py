"""What went wrong at intakes once, each as it was typed then."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import Answer, proveout
from helpers_shipped import shipped_book
from proveout.intake.index import index_for
from proveout.intake.resolve import choose
from proveout.intake.words import match
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


def holds(case: Path) -> dict[str, Any]:
    return state.merged(casefile.read(case))


@pytest.mark.parametrize(
    ("said", "never"),
    [
        ("check engine light on", "with-loads-on"),
        ("car shakes", "rough-roads"),
        ("nozzle clicks off", "clicks-will-not-crank"),
        ("diesel engine", "runs-on-after-switching-off"),
    ],
)
def test_a_short_clause_is_never_taken_for_one_word_of_another(said: str, never: str) -> None:
    found, _ = match((said,), index_for(shipped_book()))
    assert never not in {item.id for item in found if item.taken}


@pytest.mark.parametrize(
    ("said", "symptom", "absent"),
    [
        ("won't rev", "will-not-rev-up", False),
        ("fan never runs", "fan-never-runs", False),
        ("no smell of fuel", "fuel-smell", True),
        ("cranks but won't start", "cranks-does-not-start", False),
        ("idle goes up and down", "idle-goes-up-and-down", False),
    ],
)
def test_negations_and_joined_phrases_are_understood_whole(said: str, symptom: str, absent: bool) -> None:
    found, lost = match((said,), index_for(shipped_book()))
    if said == "won't rev":  # two entries may be meant: it is asked
        assert symptom in {key for item in found for key in (item.id, *(o.id for o in item.others))}
        return
    assert [(item.id, item.taken, item.negated) for item in found] == [(symptom, True, absent)]
    assert lost == ()


#: Everyday names of parts, of which every third was unknown. Common practice, no source.
PARTS = (
    "spark plug", "plug wire", "coil pack", "injectors", "mass airflow sensor", "coolant temp sensor",
    "vacuum lines", "computer", "cat", "accelerator pedal", "front o2 sensor", "rear o2 sensor", "gas cap",
    "purge solenoid", "thermostat", "battery", "alternator", "starter", "fuel pump", "fuel filter",
    "air filter", "throttle body", "egr valve", "pcv valve", "map sensor", "crank sensor", "cam sensor",
    "knock sensor", "water pump", "radiator", "timing belt", "timing chain", "head gasket", "intake manifold",
    "bank 1 sensor 2", "drive belt", "fuel pressure regulator", "charcoal canister", "vent valve",
)  # fmt: skip


@pytest.mark.parametrize("part", PARTS)
def test_everyday_names_of_parts_are_known(part: str) -> None:
    assert choose(part, shipped_book().words.components).id


@pytest.mark.parametrize("part", ["O2 sensor", "exhaust", "check valve", "sensor plug"])
def test_a_name_of_several_parts_is_asked_about(part: str) -> None:
    found = choose(part, shipped_book().words.components)
    assert found.id == "" and len(found.near) > 1


@pytest.mark.parametrize(
    ("tool", "entry"), [("meter", "multimeter"), ("torch", "torch-and-mirror"), ("probe pins", "probe-kit")]
)
def test_everyday_names_of_tools_are_known(tool: str, entry: str) -> None:
    assert choose(tool, shipped_book().words.tools).id == entry


def test_figures_are_read_as_they_are_written(tmp_path: Path, run: Run) -> None:
    case = tmp_path / "car.yaml"
    assert run("intake", case, "--code", "P0420", "--mileage", "150,000").code == 0
    assert holds(case)["vehicle"]["mileage_km"] == 150_000.0
    assert run("amend", case, "--mileage", "93,000 mi").code == 0
    assert holds(case)["vehicle"]["mileage_km"] == pytest.approx(149_669, abs=1)
    assert run("record", case, "intake-hoses-look", "split").code == 0
    assert run("mend", case, "vacuum-hose-split", "--cost", "3,50").code == 0
    assert [event.body["cost"] for event in casefile.read(case) if event.kind == "mending"] == [3.5]


def test_the_next_step_is_named_with_the_command_that_records_it(tmp_path: Path, run: Run) -> None:
    case = tmp_path / "car.yaml"
    opened = run("intake", case, "--code", "P0442")
    for shown in (opened.out, run("triage", case).out, run("steps", case).out):
        assert f"proveout record {case}" in " ".join(shown.split())
    asked = run("record", case)
    assert asked.code == 2 and "cannot-tell" in asked.err


def test_what_is_for_oneself_stays_out_of_json(tmp_path: Path, run: Run) -> None:
    case = tmp_path / "car.yaml"
    own = ["--plate", "QX-17-ZZ", "--owner", "Nobody Atall", "--job", "J-99-A", "--vehicle", "the grey one"]
    assert run("intake", case, "--code", "P0442", *own, "--currency", "EUR", "--per-hour", "45,50").code == 0
    assert holds(case)["costs"] == {"per_hour": 45.5, "currency": "EUR"}
    for command in (["triage", case], ["why", case], ["audit", case]):
        told = run(*command, "--json")
        assert told.code == 0, told.err
        assert not any(secret in told.out for secret in ("QX-17", "Atall", "J-99", "grey")), command


def test_frame_readiness_and_table_are_taken_as_bytes_and_columns(tmp_path: Path, run: Run) -> None:
    """Scalings of SAE J1979 / ISO 15031-5: item 05 is A - 40 degC, item 0C is (256 A + B) / 4 rpm."""
    case, table = tmp_path / "car.yaml", tmp_path / "live.csv"
    table.write_text("DTC;State;Item;Now;U\nP0442;pending;;;\n;;vehicle speed;50;mph\n;;Odd thing;7;\n")
    columns = [
        f"--column={pair}" for pair in ("code=DTC", "status=State", "name=Item", "value=Now", "unit=U")
    ]
    given = ["--frame", "05=7B 0C=1AF8", "--readiness", "00 07 65 04", "--table", table, *columns]
    opened = run("intake", case, *given)
    assert opened.code == 0 and "Odd thing" in opened.err
    document = holds(case)
    assert document["codes"] == [{"code": "P0442", "status": "pending"}]
    frame = document["freeze_frame"]
    assert frame["coolant_c"] == 83.0 and frame["rpm"] == 1726.0
    assert frame["speed_kmh"] == pytest.approx(80.47, abs=0.01)
    assert "catalyst" in document["monitors_run"] and "evap" not in document["monitors_run"]
