"""Many cases at once: a line for each, in order, and a bad one stops no other."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import Answer, proveout, write_yaml
from proveout.app.source import open_case
from proveout.text.compose import compose
from proveout.text.schema import validate


def lines(answer: Answer) -> list[dict[str, Any]]:
    return [json.loads(line) for line in answer.out.splitlines()]


@pytest.fixture
def cases(tmp_path: Path) -> Path:
    """A directory with a sound intake, a bad one, one that is not YAML, a case file, and one below."""
    home = tmp_path / "cases"
    (home / "more").mkdir(parents=True)
    write_yaml(home / "a.yaml", {"codes": ["P0128"]})
    write_yaml(home / "b.yaml", {"codes": ["P0128"], "tools": ["multimter"]})
    (home / "c.yaml").write_text("codes: [P0128\n", encoding="utf-8")
    assert proveout("intake", home / "d.yaml", "--code", "P0128", home=tmp_path).code == 0
    write_yaml(home / "more" / "e.yaml", {"codes": ["P0116"]})
    return home


def test_each_case_gives_a_line_whatever_the_number_of_processes(cases: Path, tmp_path: Path) -> None:
    one = proveout("batch", cases, "--jobs", 1, home=tmp_path)
    two = proveout("batch", cases, "--jobs", 2, home=tmp_path)
    assert (one.code, one.err) == (1, "5 cases, 2 of them bad.\n")
    assert (two.code, two.out) == (one.code, one.out)
    names = [line["source"] for line in lines(one)]
    assert names == [str(cases / name) for name in ("a.yaml", "b.yaml", "c.yaml", "d.yaml", "more/e.yaml")]
    for line in one.out.splitlines():
        assert not validate(compose(line, "line"), "batch")


def test_a_line_is_what_triage_says_of_the_case(cases: Path, tmp_path: Path) -> None:
    for name in ("a.yaml", "d.yaml"):
        (line,) = lines(proveout("batch", cases / name, home=tmp_path))
        alone = proveout("triage", cases / name, "--json", home=tmp_path)
        assert line["triage"] == json.loads(alone.out)


def test_a_bad_case_is_told_with_its_place(cases: Path, tmp_path: Path) -> None:
    (line,) = lines(proveout("batch", cases / "b.yaml", home=tmp_path))
    (problem,) = line["problems"]
    assert (problem["line"], problem["column"], problem["check"]) == (4, 3, "unknown-id")
    assert "multimeter" in problem["mend"]


def test_a_damaged_case_file_and_a_missing_one_are_bad_cases(cases: Path, tmp_path: Path) -> None:
    path = cases / "d.yaml"
    path.write_text(path.read_text("utf-8").replace("P0128", "P0116", 1), encoding="utf-8")
    answer = proveout("batch", path, cases / "none.yaml", cases / "a.yaml", home=tmp_path)
    assert answer.code == 1
    assert ["triage" in line for line in lines(answer)] == [False, False, True]


def test_json_lines_are_read_from_standard_input_between_files(cases: Path, tmp_path: Path) -> None:
    given = '{"codes": ["P0128"]}\n\n{"codes":\t["Q"]}\r\n{"codes": ["P0128"}\n[]'
    answer = proveout(
        "batch", cases / "a.yaml", "-", cases / "a.yaml", "--jobs", 1, home=tmp_path, stdin=given
    )
    assert answer.code == 1
    first, told, form, syntax, listing, last = lines(answer)
    assert first == last and told["triage"] == first["triage"]
    assert told["source"] == "standard input:1"
    assert [(p["line"], p["column"], p["check"]) for p in form["problems"]] == [(3, 12, "code-form")]
    assert [(p["line"], p["column"], p["check"]) for p in syntax["problems"]] == [(4, 19, "json-syntax")]
    assert [(p["line"], p["column"]) for p in listing["problems"]] == [(5, 1)]


def test_json_is_read_as_json_not_as_nearly_json(tmp_path: Path) -> None:
    """Escapes as RFC 8259, section 7, has them: pairs of surrogates, a solidus, a backslash before a "u"."""
    said = ["hiss \U0001f600 / \\ud83d\\ude00", "tab\there"]
    given = json.dumps({"codes": ["P0128"], "said": said}).replace("/", "\\/") + "\n"
    given += json.dumps({"codes": ["P0128"], "said": said}, ensure_ascii=False) + "\n"
    escaped, plain = lines(proveout("batch", "-", "--jobs", 1, home=tmp_path, stdin=given))
    assert "\\u" in given.splitlines()[0]
    assert escaped["triage"] == plain["triage"]
    assert any("\U0001f600 / \\ud83d\\ude00" in clause for clause in plain["triage"]["unmatched"])
    lone = proveout("batch", "-", home=tmp_path, stdin='{"said": ["\\ud83d"]}\nno: json\n')
    assert lone.code == 1 and len(lines(lone)) == 2
    assert all("problems" in line for line in lines(lone))


def test_a_fault_of_the_program_stops_no_other_case(
    cases: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "proveout.app.batching.open_case",
        lambda name, *rest, **more: 1 / 0 if name.endswith("a.yaml") else open_case(name, *rest, **more),
    )
    answer = proveout("batch", cases / "a.yaml", cases / "d.yaml", "--jobs", 1, home=tmp_path)
    assert answer.code == 1
    broken, sound = lines(answer)
    assert broken["problems"][0]["check"] == "internal-fault" and "triage" in sound


def test_nothing_bad_is_code_0_and_no_source_is_refused(cases: Path, tmp_path: Path) -> None:
    assert proveout("batch", cases / "a.yaml", home=tmp_path).code == 0
    assert proveout("batch", home=tmp_path).code == 2
