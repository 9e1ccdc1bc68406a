"""Every command that prints a document prints one that follows the schema it names, new ones too."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import click
import pytest

from helpers_cli import proveout
from helpers_shipped import lend_books
from proveout.cli.main import main
from proveout.text.compose import compose
from proveout.text.schema import validate

#: What is typed for each command that takes ``--json`` and which document it prints. ``FRESH`` stands for a
#: file that is not there, ``CAR`` for a case with a reading.
ASKED: Mapping[str, tuple[Sequence[str], str]] = {
    "intake": (["FRESH", "--code", "P0442"], "triage"),
    "amend": (["CAR", "--symptom", "rough-idle"], "triage"),
    "undo": (["CAR"], "triage"),
    "triage": (["CAR"], "triage"),
    "record": (["CAR", "cap-seal-look", "sound"], "triage"),
    "why": (["CAR", "filler-cap-loose"], "why"),
    "compute": (["orifice-flow", "diameter=0.5 mm", "pressure=2.5 kPa"], "compute"),
    "code": (["P0442"], "code"),
    "terms": (["back-probe"], "terms"),
    "settings": ([], "settings"),
    "audit": (["CAR"], "audit"),
    "cases": (["."], "cases"),
    "learn": (["."], "learned"),
    "rules list": (["tools"], "list"),
    "rules test": (["--only", "^cap-seal-look"], "trials"),
    "demo": ([], "demo"),
}

#: Where it takes long: the test that holds the document, and its schema.
ELSEWHERE: Mapping[str, tuple[str, str]] = {
    "rules check": ("acceptance/test_shipped_book.py", "problems"),
    "rules compare": ("acceptance/test_rules_compare.py", "compared"),
    "rules coverage": ("unit/test_trial_coverage.py", "covered"),
    "rules effect": ("acceptance/test_rules_compare.py", "compared"),
    "rules simulate": ("unit/test_trial_simulate.py", "simulated"),
}


def with_json(group: click.Group, path: tuple[str, ...] = ()) -> Iterator[str]:
    """Return the commands that take ``--json``."""
    context = click.Context(group)
    for name in group.list_commands(context):
        found = group.get_command(context, name)
        assert found is not None
        if any("--json" in option.opts for option in found.params):
            yield " ".join((*path, name))
        if isinstance(found, click.Group):
            yield from with_json(found, (*path, name))


def test_every_command_with_a_document_is_tried() -> None:
    assert set(with_json(main)) == {*ASKED, *ELSEWHERE}, "name the new command in ASKED"
    for file, schema in ELSEWHERE.values():
        text = (Path(__file__).parents[1] / file).read_text(encoding="utf-8")
        assert "assert not validate(" in text and f'"{schema}"' in text, file


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a directory of its own, with the book compiled."""
    found = tmp_path_factory.mktemp("documents")
    lend_books(found / "cache")
    return found


@pytest.mark.parametrize("command", ASKED)
def test_the_document_follows_the_schema_that_it_names(command: str, home: Path) -> None:
    car = home / f"{command.replace(' ', '-')}.yaml"
    words, schema = ASKED[command]
    if "CAR" in words:
        assert proveout("intake", car, "--code", "P0442", home=home).code == 0
        assert proveout("record", car, "cap-seat-and-click", "seated", home=home).code == 0
    places = {"CAR": car, "FRESH": car, ".": home}
    typed = [places.get(word, word) for word in words]
    answer = proveout(*command.split(), *typed, "--json", home=home)
    document = json.loads(answer.out)
    assert document["schema"].split("/")[1] == schema, answer.err
    assert not validate(compose(answer.out, "document.json"), schema)
    assert answer.code in (0, 1), answer.err
