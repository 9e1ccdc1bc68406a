"""A simulation that is stopped goes on where it stood, and ends as one that was never stopped."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from helpers_cli import Answer, proveout
from proveout.text.compose import compose
from proveout.text.schema import validate

PROGRAM = "from proveout.cli.entry import entry; entry()"
OPTIONS = ("--code", "P0128", "--disturb", "1.5", "--json")


def simulate(home: Path, *options: object) -> Answer:
    return proveout("rules", "simulate", *OPTIONS, "--jobs", 1, *options, home=home)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, bytes]:
    """What a run of six cases prints, in one process, and the file that it keeps."""
    home = tmp_path_factory.mktemp("whole")
    answer = simulate(home, "--cases", 6, "--resume", home / "kept.jsonl")
    assert answer.code == 0, answer.err
    return answer.out, (home / "kept.jsonl").read_bytes()


@pytest.mark.skipif(sys.platform == "win32", reason="a stop from the keyboard is sent otherwise there")
def test_stopped_from_the_keyboard_it_goes_on(whole: tuple[str, bytes], tmp_path: Path) -> None:
    """The signal goes to all processes of the group, as a terminal sends it."""
    kept = tmp_path / "kept.jsonl"
    command = [sys.executable, "-c", PROGRAM, "rules", "simulate", *OPTIONS, "--jobs", "2", "--cases", "5000"]
    with subprocess.Popen(
        [*command, "--resume", str(kept)], stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as running:
        deadline = time.monotonic() + 240
        while not kept.exists() or kept.read_bytes().count(b"\n") < 3:
            assert running.poll() is None and time.monotonic() < deadline
            time.sleep(0.02)
        os.killpg(running.pid, signal.SIGINT)
        _, said = running.communicate(timeout=120)
    assert running.returncode == 130, said
    assert "Stopped after" in said and "Traceback" not in said
    stood = kept.read_bytes()
    assert 3 <= stood.count(b"\n") < 5000
    answer = simulate(tmp_path, "--cases", 6, "--resume", kept)
    assert answer.out == whole[0], answer.err
    assert kept.read_bytes().startswith(stood)
    assert kept.read_bytes().splitlines()[:7] == whole[1].splitlines()


def test_a_torn_line_is_played_again_and_whole_ones_are_not(whole: tuple[str, bytes], tmp_path: Path) -> None:
    """Whole lines are believed: one that says something else shows in the answer."""
    kept = tmp_path / "kept.jsonl"
    kept.write_bytes(whole[1][:-20])
    assert simulate(tmp_path, "--cases", 6, "--resume", kept).out == whole[0]
    assert kept.read_bytes() == whole[1]
    first, second, *rest = whole[1].decode().splitlines(keepends=True)
    other = json.loads(second)
    other["case"]["cost"] = 1e9
    dearer = json.dumps(other) + "\n"
    kept.write_text("".join([first, dearer, *rest]), encoding="utf-8")
    answer = simulate(tmp_path, "--cases", 6, "--resume", kept)
    assert json.loads(answer.out)["families"][0]["cost"] > 1e8


def test_each_line_is_of_its_schema(whole: tuple[str, bytes]) -> None:
    for line in whole[1].decode().splitlines():
        assert not validate(compose(line, "kept"), "simulation")


def _other(heading: str, key: str, value: object) -> str:
    return json.dumps({**json.loads(heading), key: value}) + "\n"


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("seed", 2, "kept.jsonl:1:1: cases of another seed: 2; expected 1"),
        ("book", "0" * 64, "cases of another book"),
        ("disturbance", 1.0, "cases of another disturbance: 1.0; expected 1.5"),
        ("codes", ["P0442"], 'cases of another codes: ["P0442"]; expected ["P0128"]'),
        ("version", "0.0.1", "cases of another version"),
        ("schema", "x", "kept.jsonl:1:1: not the kept cases of a simulation"),
    ],
)
def test_the_cases_of_another_run_are_refused(
    key: str, value: object, said: str, whole: tuple[str, bytes], tmp_path: Path
) -> None:
    kept = tmp_path / "kept.jsonl"
    heading = whole[1].decode().splitlines()[0]
    kept.write_text(_other(heading, key, value), encoding="utf-8")
    answer = simulate(tmp_path, "--cases", 6, "--resume", kept)
    assert (answer.code, json.loads(answer.out)["schema"]) == (3, "proveout/problems/1")
    assert said in answer.err
    assert kept.read_text("utf-8") == _other(heading, key, value)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{]", "kept.jsonl:2:1: no line of a simulation: JSON is malformed"),
        ("3", "kept.jsonl:2:1: no line of a simulation: Expected `object`, got `int`"),
        ('{"number": 0}', "kept.jsonl:2:1: no line of a simulation: Object missing required field `case`"),
    ],
)
def test_a_line_that_is_no_case_is_refused(
    line: str, said: str, whole: tuple[str, bytes], tmp_path: Path
) -> None:
    kept = tmp_path / "kept.jsonl"
    kept.write_text(whole[1].decode().splitlines()[0] + f"\n{line}\n", encoding="utf-8")
    answer = simulate(tmp_path, "--cases", 6, "--resume", kept)
    assert (answer.code, json.loads(answer.out)["schema"]) == (3, "proveout/problems/1")
    assert said in answer.err


def test_a_file_of_one_line_that_is_no_simulation_stays_as_it_was(tmp_path: Path) -> None:
    """Without a line break at its end it was taken for a torn beginning, and written over."""
    kept = tmp_path / "notes.txt"
    kept.write_text("what to buy: a hose", encoding="utf-8")
    answer = simulate(tmp_path, "--cases", 6, "--resume", kept)
    assert answer.code == 3 and "which is not written over" in answer.err
    assert kept.read_text("utf-8") == "what to buy: a hose"


def test_a_file_that_cannot_be_written_is_refused_at_once(tmp_path: Path) -> None:
    answer = simulate(tmp_path, "--cases", 6, "--resume", tmp_path / "missing" / "kept.jsonl")
    assert (answer.code, json.loads(answer.out)["schema"]) == (3, "proveout/problems/1")
    assert "kept.jsonl: cannot be used: No such file or directory" in answer.err


def test_two_processes_play_what_one_plays(whole: tuple[str, bytes], tmp_path: Path) -> None:
    assert proveout("rules", "simulate", *OPTIONS, "--cases", 6, "--jobs", 2, home=tmp_path).out == whole[0]
