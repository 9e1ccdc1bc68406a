"""Ids, titles and words serve equally wherever an entry is asked for, on every command."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click
import pytest

from helpers_cli import Answer, proveout
from helpers_shipped import shipped_book
from proveout.app.naming import entry_of
from proveout.cli.main import main
from proveout.intake.resolve import Named
from proveout.model.problem import BadInputError
from proveout.record import casefile, state

Run = Callable[..., Answer]

#: An inspection, a cause, a symptom and a monitor, each with ways to name it that are not its id.
LOOK, CAUSE, SYMPTOM, MONITOR = "sensor-hose-look", "sensor-hose-cracked", "fuel-smell", "oxygen-sensor"
LOOKS = (
    "Look at the small hose of the tank pressure sensor",
    "tank pressure sensor hose cracked",
    "small hose at the FTP sensor",
)
CAUSES = (shipped_book().causes[CAUSE].title, "sensor hose cracked", "SENSOR-HOSE-CRACKED")
SYMPTOMS = ("Smell of fuel", "petrol smell", "smells like gas")


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
    assert run("intake", case, "--code", "P0451", "--age", "15", "--mileage", "188,000").code == 0
    return case


def last(case: Path) -> Any:
    """Return the last event that is no advice."""
    return [event for event in casefile.read(case) if event.kind != "advice"][-1]


@pytest.mark.parametrize("name", LOOKS)
def test_an_inspection_by_any_name(car: Path, run: Run, name: str) -> None:
    assert run("steps", car, name).out == run("steps", car, LOOK).out
    assert run("record", car, name, "cracked-or-off").code == 0
    assert last(car).body["inspection"] == LOOK
    assert run("record", car, *name.split(), "Sound").code == 0, "a title need not be quoted"
    assert last(car).body["inspection"] == LOOK and last(car).body["result"] == "sound"
    assert run("amend", car, "--cannot-reach", name).code == 0
    assert state.merged(casefile.read(car))["set_aside"] == {LOOK: "cannot-reach"}
    assert run("amend", car, "--withdraw", name).code == 0
    assert run("rules", "show", name).out == run("rules", "show", LOOK).out


@pytest.mark.parametrize("name", CAUSES)
def test_a_cause_by_any_name_to_the_end(car: Path, run: Run, name: str) -> None:
    assert run("record", car, LOOK, "cracked-or-off").code == 0
    assert run("why", car, name, "--json").out == run("why", car, CAUSE, "--json").out
    assert run("rules", "show", name).out == run("rules", "show", CAUSE).out
    assert run("purchase", car, name, "--cost", "3,50").code == 0
    assert last(car).body["cause"] == CAUSE and last(car).body["cost"] == 3.5
    assert run("repair", car, name).code == 0
    again = ["--again", f"{LOOKS[0]}=Sound", "--monitor-run", "oxygen sensor", "--gone", "petrol smell"]
    assert run("verify", car, *again, "--codes-cleared", "--no-code", "--driven", "20 mi").code == 0
    verified = last(car).body
    assert verified["repeated"] == [{"inspection": LOOK, "result": "sound"}]
    assert verified["monitors_run"] == [MONITOR] and verified["gone"] == [SYMPTOM]
    assert run(
        "ready", car, "--ready", "oxygen sensor", "--not-ready", "Evap", "--model-year", "2011"
    ).code in (0, 1)
    assert run("close", car, "Confirmed", "--cause", name).code == 0
    found = json.loads(run("cases", car.parent, "--cause", name, "--json").out)
    assert [row["cause"] for row in found["cases"]] == [CAUSE]


def test_a_mending_and_what_came_of_it_by_any_name(tmp_path: Path, run: Run) -> None:
    case = tmp_path / "car.yaml"
    assert run("intake", case, "--code", "P0420").code == 0
    assert run("record", case, "vacuum pump look", "split").code == 3, "no such name"
    assert run("record", case, "cracked vacuum hose", "split").code == 0
    title = shipped_book().causes["vacuum-hose-split"].title
    assert run("mend", case, title).code == 0 and last(case).body["cause"] == "vacuum-hose-split"
    assert run("watch", case, "perhaps").code == 3
    assert run("watch", case, "stayed away").code == 0 and last(case).body["since"] == "stays-away"
    assert run("watch", case, "it is back").code == 0 and last(case).body["since"] == "comes-back"


@pytest.mark.parametrize("name", SYMPTOMS)
def test_what_is_noticed_used_and_replaced_by_any_name(tmp_path: Path, run: Run, name: str) -> None:
    case = tmp_path / "car.yaml"
    given = ["--replaced", "gas cap", "--tool", "volt ohm meter", "--when", "when it rains"]
    assert (
        run("intake", case, "--code", "P0442", "--symptom", name, *given, "--recent-work", "new battery").code
        == 0
    )
    document = state.merged(casefile.read(case))
    assert document["symptoms"] == [SYMPTOM] and document["happens_when"] == ["wet-weather"]
    assert document["replaced"] == ["fuel-cap"] and document["tools"] == ["multimeter"]
    assert document["recent_work"] == ["battery-disconnected"]
    assert run("amend", case, "--withdraw", name, "--withdraw", "petrol cap", "--absent", name).code == 0
    document = state.merged(casefile.read(case))
    assert document.get("replaced", []) == [] and document["symptoms_absent"] == [SYMPTOM]


def test_former_names_serve_on(tmp_path: Path, run: Run) -> None:
    case = tmp_path / "car.yaml"
    assert run("intake", case, "--symptom", "brake-lamp-stays-on").code == 0
    assert state.merged(casefile.read(case))["symptoms"] == ["brake-lamps-on"]
    shown = run("rules", "show", "brake-lamp-stays-on").out
    assert shown == run("rules", "show", "Anti-lock or stability lamp on").out
    document = tmp_path / "old.yaml"
    document.write_text("symptoms: [brake-lamp-stays-on, brake-lamps-on]\n")
    told = json.loads(run("triage", document, "--json").out)
    assert [seen["key"] for seen in told["evidence"]["observations"]] == ["brake-lamps-on"]


def test_rules_are_written_and_tried_by_any_name(tmp_path: Path, run: Run) -> None:
    made = run(
        "rules", "new", "shop-smell", "--in", tmp_path / "shop", "--observe", "symptom:smells like gas",
        "--cause", CAUSES[0],
    )  # fmt: skip
    assert made.code == 0, made.err
    written = (tmp_path / "shop" / "shop-smell.yaml").read_text()
    assert f"symptom: {SYMPTOM}" in written and f"{CAUSE}: " in written
    observed = f"{LOOKS[1]}=cracked or off"
    made = run(
        "rules", "new", "shop-hose", "--in", tmp_path / "hose", "--observe", observed, "--cause", CAUSE
    )
    assert made.code == 0, made.err
    assert f"inspection: {LOOK}, result: cracked-or-off" in (tmp_path / "hose" / "shop-hose.yaml").read_text()


@pytest.mark.parametrize("name", ["zzz", "look at the"])
def test_what_is_no_name_or_several_is_refused_and_near_ones_are_named(
    car: Path, run: Run, name: str
) -> None:
    for command in (
        ["steps", car, name],
        ["record", car, name, "sound"],
        ["why", car, name],
        ["mend", car, name],
        ["purchase", car, name, "--cost", "1"],
        ["repair", car, name],
        ["rules", "show", name],
    ):
        refused = run(*command)
        assert refused.code == 3 and "Traceback" not in refused.err, (command, refused)
    assert casefile.read(car)[-1].kind == "advice"


def test_every_entry_is_shown_by_its_title_unless_another_is_called_the_same() -> None:
    book = shipped_book()
    kinds: tuple[Mapping[str, Named], ...] = (book.inspections, book.words.symptoms, book.words.tools)
    for terms in kinds:
        for key, term in list(terms.items())[::7]:
            try:
                assert entry_of(term.title, book) == key
            except BadInputError as error:
                assert key in str(error), (key, error)


def test_every_argument_that_names_an_entry_is_tried_here() -> None:
    """A new argument or option for an id must be taken up above, or named as something else."""
    asked = {
        (name, param.name)
        for name, command in _commands(main, "")
        for param in command.params
        if (param.metavar and set(param.metavar.strip("[].").split("|")) & _ENTRY_WORDS)
        or param.name in ("observe", "repeated", "gone", "monitors_run", "tools", "replaced")
    }
    assert {name for name, _ in asked} == _TRIED, asked


#: Metavariables that stand for an entry of the book.
_ENTRY_WORDS = {"INSPECTION", "CAUSE", "SYMPTOM", "COMPONENT", "ID", "NAME", "INSPECTION=READING"}
_TRIED = {
    "intake", "amend", "steps", "record", "why", "mend", "purchase", "repair", "verify", "ready", "close",
    "cases", "rules show", "rules new", "rules simulate",
    # names of something else: a formula, a demonstration, a machine; a rule has no name but its id
    "compute", "demo", "serve", "rules effect",
    "rules graph",
}  # fmt: skip


def _commands(group: click.Group, path: str) -> list[tuple[str, click.Command]]:
    found: list[tuple[str, click.Command]] = []
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None
        whole = f"{path} {name}".strip()
        found += _commands(command, whole) if isinstance(command, click.Group) else [(whole, command)]
    return found
