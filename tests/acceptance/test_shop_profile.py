"""What a shop or a user has settled: layers, prices, tools, units, names; and that other rules are told."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from helpers_cli import Answer, proveout, write_yaml
from proveout.record import casefile
from proveout.text.schema import fits


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a directory with a layer, whose book is compiled once for all tests."""
    found = tmp_path_factory.mktemp("shared")
    (found / "our-shop").mkdir()
    return found


@pytest.fixture
def home(tmp_path: Path, shared: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    layer = shared / "our-shop"
    prices = {"purge-valve": 41}
    write_yaml(layer / "shop.yaml", {"currency": "EUR", "people": ["Ann", "Ben"], "part_prices": prices})
    (tmp_path / "cache").symlink_to(shared)
    settled(tmp_path, layers=[str(layer)], per_hour=75, by="Ann", tools=["hand-vacuum-pump"])
    monkeypatch.delenv("PROVEOUT_BY", raising=False)
    return tmp_path


def settled(home: Path, **what: Any) -> None:
    config = home / "config" / "proveout"
    config.mkdir(parents=True, exist_ok=True)
    write_yaml(config / "standing.yaml", what)


def opened(home: Path, **also: str) -> Answer:
    return proveout("intake", home / "car.yaml", "--code", "P0442", home=home, also=also)


def test_the_settled_goes_into_the_case_as_its_facts(home: Path) -> None:
    assert opened(home).code == 0
    intake, advice = casefile.read(home / "car.yaml")
    assert intake.body["costs"] == {"per_hour": 75, "currency": "EUR", "parts": {"purge-valve": 41}}
    assert intake.body["tools"] == ["hand-vacuum-pump"]
    assert (intake.by, advice.by) == ("Ann", "Ann")
    assert advice.body["book"]["layers"] == ["book", "our-shop"]
    assert proveout("audit", home / "car.yaml", home=home).code == 0


def test_prices_change_what_is_planned_and_not_what_is_believed(home: Path) -> None:
    results = {"purge-valve-holds-vacuum": "leaks"}
    car = write_yaml(home / "in.yaml", {"codes": ["P0442"], "results": results})
    elsewhere = {"XDG_CONFIG_HOME": str(home / "none")}
    told = json.loads(proveout("triage", car, "--json", home=home).out)
    plain = json.loads(proveout("triage", car, "--json", home=home, also=elsewhere).out)
    believed = [[item["confidence"] for item in one["causes"]] for one in (told, plain)]
    assert believed[0] == believed[1] and told["next"]["cost"] > plain["next"]["cost"]


def test_rules_named_go_before_the_settled_ones(home: Path) -> None:
    opened(home)
    told = proveout("triage", home / "car.yaml", "--rules", "-", home=home)
    assert "was given with the shipped rules and our-shop" in told.err
    assert "answered with the shipped rules alone" in told.err
    assert "was given with" not in proveout("triage", home / "car.yaml", home=home).err


@pytest.mark.parametrize(
    "command",
    ["triage", "steps", "why", "record", "amend", "undo", "purchase", "repair", "report", "audit", "ready"],
)
def test_every_command_tells_that_the_layers_are_others(home: Path, command: str) -> None:
    opened(home)
    rest = {
        "record": ["cap-seal-look", "sound"],
        "amend": ["--symptom", "fuel-smell"],
        "purchase": ["purge-valve-stuck-open", "--cost", "9", "--remind", "--reason", "x"],
        "repair": ["purge-valve-stuck-open"],
    }.get(command, [])
    told = proveout(command, home / "car.yaml", *rest, "--rules", "-", home=home)
    assert "was given with the shipped rules and our-shop" in told.err


def test_who_works_is_one_of_the_people(home: Path) -> None:
    assert opened(home, PROVEOUT_BY="Ben").code == 0
    assert casefile.read(home / "car.yaml")[0].by == "Ben"
    found = proveout(
        "record", home / "car.yaml", "cap-seal-look", "sound", home=home, also={"PROVEOUT_BY": "Be"}
    )
    assert found.code == 3 and "did you mean 'Ben'?" in found.err and "[unknown-person]" in found.err
    assert len(casefile.read(home / "car.yaml")) == 2


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"tools": ["hand-vacum-pump"]}, "hand-vacuum-pump"),
        ({"part_prices": {"purge-valv": 3}}, "purge-valve"),
        ({"per_hour": "much"}, "standing.yaml:1:11"),
        ({"by": " "}, "standing.yaml:1"),
        ({"layers": ["nowhere"]}, "no such directory"),
    ],
)
def test_what_is_wrong_is_told_at_its_place(home: Path, wrong: dict[str, Any], said: str) -> None:
    settled(home, **wrong)
    found = opened(home)
    assert found.code == 3 and said in found.err
    assert not (home / "car.yaml").exists()


def test_a_layer_says_nothing_of_the_machine(home: Path) -> None:
    layer = Path(yaml.safe_load((home / "config/proveout/standing.yaml").read_text())["layers"][0])
    write_yaml(layer / "shop.yaml", {"by": "Ann"})
    assert "[not-of-a-shop]" in opened(home).err
    assert proveout("rules", "check", layer, home=home).code == 1


def test_units_settled_are_used(home: Path) -> None:
    settled(home, display="us")
    opened(home)
    here = proveout("steps", home / "car.yaml", "purge-valve-holds-vacuum", home=home).out
    metric = proveout(
        "steps", home / "car.yaml", "purge-valve-holds-vacuum", "--display", "metric", home=home
    ).out
    assert "inHg" in here and here != metric


def test_the_schema_is_kept_by_an_example() -> None:
    assert fits({"layers": ["a"], "per_hour": 75, "people": ["Ann"], "display": "us"}, "shop")
    assert not fits({"per_hour": -1}, "shop")


def test_the_example_of_the_readme_can_be_used() -> None:
    readme = Path(__file__).resolve().parents[2] / "README.md"
    shown = re.search(r"<!-- standing -->\n```yaml\n(.*?)```", readme.read_text(encoding="utf-8"), re.DOTALL)
    assert shown is not None and fits(yaml.safe_load(shown[1]), "shop")


def test_what_is_in_force_is_printed_with_where_it_comes_from(home: Path, shared: Path) -> None:
    answer = proveout("settings", home=home)
    assert answer.code == 0, answer.err
    lines = {tuple(line.split()[:2]): line.split(maxsplit=2)[2] for line in answer.out.splitlines()}
    standing, shop = home / "config" / "proveout" / "standing.yaml", shared / "our-shop" / "shop.yaml"
    assert lines["per_hour", "75"].startswith(f"{standing}:")
    assert lines["currency", "EUR"].startswith(f"{shop}:")
    assert lines["layers", str(shared / "our-shop")].startswith(f"{standing}:")
    assert lines["people", "Ben"].startswith(f"{shop}:") and lines["by", "Ann"].startswith(f"{standing}:")
    assert lines["part_prices", "purge-valve"].split()[1].startswith(f"{shop}:")
    assert lines["refer_out", "300"] == "the program itself"
    other = proveout("settings", "--rules", "-", "--json", home=home, also={"PROVEOUT_BY": "Ben"})
    assert fits(json.loads(other.out), "settings")
    told = {one["key"]: one for one in json.loads(other.out)["settings"]}
    assert "layers" not in told and "people" not in told
    assert (told["by"]["value"], told["by"]["place"]) == ("Ben", "the environment variable PROVEOUT_BY")
