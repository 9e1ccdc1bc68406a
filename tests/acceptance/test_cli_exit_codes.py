"""Each documented exit code, one clear message, no traceback; on standard output nothing but JSON."""

from __future__ import annotations

import errno
import json
import os
import re
from pathlib import Path
from unittest import mock

import pytest

from helpers_attack import INTAKE, sealed
from helpers_cli import proveout, write_yaml
from helpers_record import FaultyOs
from helpers_shipped import shipped_book
from proveout.record import files
from proveout.text.compose import compose
from proveout.text.schema import validate


@pytest.mark.parametrize(
    "arguments",
    [
        ["nonsense"],
        ["triage"],
        ["triage", "x.yaml", "--engine", "steam"],
        ["rules", "list", "gizmos"],
        ["rules", "test", "--only", "("],
    ],
)
def test_wrong_usage_exits_with_2(tmp_path: Path, arguments: list[str]) -> None:
    answer = proveout(*arguments, home=tmp_path)
    assert (answer.code, answer.out) == (2, "")
    assert "Traceback" not in answer.err and answer.err.strip()


def test_a_mistyped_command_is_guessed(tmp_path: Path) -> None:
    assert "triage" in proveout("traige", home=tmp_path).err


@pytest.mark.parametrize(
    ("text", "place", "word"),
    [
        ("codes: [P0442", "2:", "intake.yaml"),
        ("codes: [P04Z2]\n", "1:9", "P04Z2"),
        ("codes: [P0442]\nsymptoms: [fuel-smel]\n", "2:12", "fuel-smell"),
        ("codes: [P0442]\ncolour: blue\n", "2:1", "colour"),
        ("codes: [P0442]\ncodes: [P0455]\n", "2:1", "codes"),
        ("codes: &a [P0442]\n", "1:8", "anchor"),
        ("vehicle: {age_years: old}\ncodes: [P0442]\n", "1:22", "old"),
        ("codes: [P0442]\nresults: {cap-seal-look: wet}\n", "2:", "sound"),
        ("codes: [P0442]\nreadings: [{inspection: purge-valve-holds-vacuum, value: 12 kg}]\n", "2:", "kPa"),
        ("", "", "intake.yaml"),
    ],
)
def test_bad_input_exits_with_3_and_a_located_message(
    tmp_path: Path, text: str, place: str, word: str
) -> None:
    path = tmp_path / "intake.yaml"
    path.write_text(text)
    answer = proveout("triage", path, home=tmp_path)
    assert (answer.code, answer.out) == (3, "")
    assert f"intake.yaml:{place}" in answer.err if place else True
    assert word in answer.err
    assert "Traceback" not in answer.err


def test_a_missing_file_a_directory_and_a_binary_exit_with_3(tmp_path: Path) -> None:
    (tmp_path / "binary").write_bytes(b"\xff\xfe\x00\x01")
    for name in ("nowhere.yaml", ".", "binary"):
        answer = proveout("triage", tmp_path / name, home=tmp_path)
        assert answer.code == 3 and len(answer.err.strip().splitlines()) == 1, answer.err


@pytest.mark.parametrize("arguments", [["learn"], ["cases"], ["rules", "test", "--only", "^no ", "--cases"]])
def test_a_directory_of_cases_that_is_none_exits_with_3(tmp_path: Path, arguments: list[str]) -> None:
    (tmp_path / "file.yaml").write_text("")
    for name in ("nowhere", "file.yaml"):
        answer = proveout(*arguments, tmp_path / name, home=tmp_path)
        assert answer.code == 3 and len(answer.err.strip().splitlines()) == 1, answer.err
        assert name in answer.err


def test_a_reading_and_its_advice_are_kept_together_or_not_at_all(tmp_path: Path) -> None:
    car = tmp_path / "car.yaml"
    proveout("intake", car, "--code", "P0451", home=tmp_path)
    old = car.read_bytes()
    for what in (["sensor-hose-look", "sound"], ["--withdraw", 3]):
        full = FaultyOs(1, errno.ENOSPC, lasting=True, calls=("write",))
        with mock.patch.object(files, "os", full):
            failed = proveout("record", car, *what, home=tmp_path)
        assert failed.code == 3 and "No space left" in failed.err and car.read_bytes() == old
        watched = FaultyOs(2, errno.ENOSPC, lasting=True, calls=("write",))
        with mock.patch.object(files, "os", watched):
            assert proveout("record", car, *what, home=tmp_path).code == 0
        assert watched.count == 1  # a second write could fail after the first
        old = car.read_bytes()
    kinds = re.findall(r"^kind: (\w+)$", car.read_text(), re.MULTILINE)
    assert kinds == ["intake", "advice", "reading", "advice", "withdrawal", "advice"]


def test_bad_rules_exit_with_3_in_use_and_1_in_the_check(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    rule = """- id: x
  when: {all: [{code: P0442}, {fact: vehicle.age, at_least: 9 y}]}
  weigh: {no-such-cause: often}
  because: It is a test.
  source: none
  examples: {fires: [{codes: [P0442], vehicle: {age_years: 9}}], silent: [{codes: [P0442]}]}
"""
    (shop / "rules.yaml").write_text(rule)
    intake = write_yaml(tmp_path / "intake.yaml", {"codes": ["P0442"]})
    used = proveout("triage", intake, "--rules", shop, home=tmp_path)
    checked = proveout("rules", "check", shop, home=tmp_path)
    assert (used.code, checked.code) == (3, 1)
    assert "rules.yaml:3:" in used.err and "rules.yaml:3:" in checked.out


def test_an_altered_case_file_exits_with_4(tmp_path: Path) -> None:
    car = tmp_path / "car.yaml"
    proveout("intake", car, "--code", "P0442", "--age", "14", home=tmp_path)
    car.write_text(car.read_text().replace("age_years: 14", "age_years: 4", 1))
    answer = proveout("triage", car, home=tmp_path)
    assert answer.code == 4 and "Traceback" not in answer.err


def test_a_fault_inside_exits_with_70_and_no_traceback(tmp_path: Path) -> None:
    intake = write_yaml(tmp_path / "intake.yaml", {"codes": ["P0442"]})
    with mock.patch("proveout.plan.advice.decide", side_effect=ZeroDivisionError("boom")):
        answer = proveout("triage", intake, home=tmp_path)
    assert answer.code == 70 and "boom" in answer.err and "Traceback" not in answer.err


def test_rules_test_fails_when_nothing_ran(tmp_path: Path) -> None:
    answer = proveout("rules", "test", "--only", "^no such thing$", home=tmp_path)
    assert answer.code == 1 and "Nothing was tried" in answer.err


def test_help_names_the_exit_codes_and_the_version_names_the_chainer(tmp_path: Path) -> None:
    assert "record damaged" in proveout("--help", home=tmp_path).out
    version = proveout("--version", home=tmp_path).out
    assert "durable" in version or "reference" in version


@pytest.mark.parametrize(
    ("arguments", "code", "check"),
    [
        (["triage", "x.yaml", "--json", "--no-such-option"], 2, "usage"),
        (["compute", "--json"], 2, "usage"),
        (["triage", "missing.yaml", "--json"], 3, "cannot-read"),
        (["cases", "nowhere", "--json"], 3, "cannot-read"),
        (["why", "damaged.yaml", "--json"], 4, "wrong-digest"),
    ],
)
def test_with_json_what_went_wrong_is_json_too(
    tmp_path: Path, arguments: list[str], code: int, check: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Standard output was empty, which is no JSON; what is said on standard error stays."""
    monkeypatch.chdir(tmp_path)
    damaged = sealed(tmp_path / "damaged.yaml", ("intake", INTAKE))
    damaged.write_bytes(damaged.read_bytes().replace(b"P0451", b"P0452"))
    answer = proveout(*arguments, home=tmp_path)
    document = json.loads(answer.out)
    assert (answer.code, document["schema"]) == (code, "proveout/problems/1")
    assert validate(compose(answer.out, "out.json"), "problems") == ()
    assert check in [problem["check"] for problem in document["problems"]], document
    assert answer.err.strip()


def test_an_internal_fault_and_an_interrupt_are_json_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for error, code, check in (
        (RuntimeError("x"), 70, "internal-fault"),
        (KeyboardInterrupt(), 130, "stopped"),
    ):
        with monkeypatch.context() as patch:
            patch.setattr("proveout.app.source.open_case", mock.Mock(side_effect=error))
            answer = proveout("triage", "x.yaml", "--json", home=tmp_path)
        (problem,) = json.loads(answer.out)["problems"]
        assert (answer.code, problem["check"]) == (code, check), answer


def test_a_word_that_is_no_text_is_wrong_usage_but_a_file_may_be_named_so(tmp_path: Path) -> None:
    """Bytes that are no UTF-8 gave an internal fault when they were kept or shown."""
    word = os.fsdecode(b"smell\xf6")
    for arguments in (
        ["code", word],
        ["rules", "show", word],
        ["intake", tmp_path / "c.yaml", "--said", word],
    ):
        answer = proveout(*arguments, home=tmp_path)
        assert answer.code == 2 and "is no UTF-8 text" in answer.err, answer
    assert proveout("intake", tmp_path / f"{word}.yaml", "--code", "P0442", home=tmp_path).code == 0


def test_a_smaller_share_of_rules_that_speak_than_was_asked_for_exits_with_1(tmp_path: Path) -> None:
    """The share is that of the rules which these examples make fire."""
    few = ["rules", "test", "--only", "^question-"]
    rules = shipped_book().rules
    fired = [name for name, rule in rules.items() if name.startswith("question-") and rule.concludes]
    answer = proveout(*few, "--least", "0", "--json", home=tmp_path)
    share = json.loads(answer.out)["share"]
    assert answer.code == 0 and not validate(compose(answer.out, "trials"), "trials")
    assert fired and len(fired) / len(rules) <= share < 0.1
    wanting = proveout(*few, "--least", "50", home=tmp_path)
    assert wanting.code == 1 and "of the rules spoke." in wanting.out
    assert "spoke" not in proveout(*few, home=tmp_path).out
