"""What reaches the terminal: no escape sequence, no turned text, no claim that is not so."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import time
from pathlib import Path

import pytest

from helpers_attack import INTAKE, case_commands, command_line, home, run, sealed
from helpers_cli import proveout
from helpers_shipped import shipped_cases
from proveout.record import casefile
from proveout.text.visible import visible

__all__ = ["home"]

#: Clears a screen, sets a title, turns the reading direction, hides: the usual ways to print something else.
EVIL = "a\x1b[2J\x1b]0;t\x07\u202eb\u2066c\u200b\x9b31m\x08\x7f\rd"
HIDDEN = set("\x1b\x07\x08\x7f\x9b\u202e\u2066\u200b\r")


def shows(text: str) -> set[str]:
    return HIDDEN & set(text)


def test_no_text_of_a_case_moves_the_cursor(home: Path, tmp_path: Path) -> None:
    figures = [{"inspection": "tank-sensor-five-volts", "limits": {"good": "4.9..5.1 V"}, "reference": EVIL}]
    intake = {**INTAKE, "title": EVIL, "story": EVIL, "said": [f"it {EVIL} smells"], "own_figures": figures}
    shop = tmp_path / "shop"
    shop.mkdir()
    reading = {
        "inspection": "tank-sensor-five-volts",
        "value": "4.98 V",
        "conditions": [EVIL],
        "instrument": "",
    }
    del reading["instrument"]
    bought = {"cause": "sensor-hose-cracked", "cost": 6, "part": EVIL, "reason": EVIL}
    events = (("intake", intake), ("reading", reading), ("purchase", bought), ("note", {"text": EVIL}))
    case = sealed(shop / f"{EVIL.replace('/', '')}.yaml", *events)
    sealed(shop / f"bad{EVIL}.yaml", ("note", {"text": EVIL}))
    seen = ""
    for arguments in case_commands(case, tmp_path / "page.html"):
        answer = run(*arguments, home=home)
        assert not shows(answer.out + answer.err), (arguments, answer)
        seen += answer.out + answer.err
    assert "\\u001b[2J" in seen and "\\u202e" in seen
    page = run("report", case, home=home).out
    assert not shows(page) and not shows((tmp_path / "page.html").read_text())


@pytest.mark.parametrize(
    "command", [["code"], ["compute"], ["rules", "show"], ["triage"], ["cases"], ["learn"], []]
)
def test_no_argument_comes_back_as_it_was(command: list[str], home: Path) -> None:
    for given in ([EVIL], [f"--{EVIL}"]):
        answer = run(*command, *given, home=home)
        assert answer.code != 0 and not shows(answer.out + answer.err), answer


def test_json_keeps_the_text_and_hides_nothing(home: Path, tmp_path: Path) -> None:
    case = sealed(tmp_path / "case.yaml", ("intake", {**INTAKE, "title": EVIL}))
    answer = run("cases", case.parent, "--json", home=home)
    assert json.loads(answer.out)["cases"][0]["title"] == EVIL and not shows(answer.out)


def test_what_is_visible_stays() -> None:
    text = "2.5 V ± 0.1 Ω – “hose” naïve 中文\n\tnext"
    assert visible(text) == text
    assert json.loads(f'"{visible(chr(0xE0001))}"') == "\U000e0001"


def start(
    *arguments: object, home: Path, encoding: str = "utf-8", **streams: object
) -> subprocess.Popen[bytes]:
    """Start the program as a process of its own."""
    places = {"XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(home / "cache")}
    environment = {**os.environ, **places, "PYTHONIOENCODING": encoding, "COLUMNS": "80"}
    words = [*command_line(), *map(str, arguments)]
    kinds = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "stdin": subprocess.DEVNULL, **streams}
    return subprocess.Popen(words, env=environment, **kinds)  # type: ignore[call-overload, no-any-return]


@pytest.mark.parametrize("encoding", ["latin-1", "cp1252"])
def test_an_output_that_lacks_a_character_shows_one_like_it(
    encoding: str, home: Path, tmp_path: Path
) -> None:
    case = sealed(tmp_path / "case.yaml", ("intake", {**INTAKE, "said": ["“riecht” – 中"]}))
    for command in (["triage", case], ["triage", case, "--json"]):
        process = start(*command, home=home, encoding=encoding)
        out, err = process.communicate(timeout=120)
        assert process.returncode == 0, err
        if "--json" in command:
            assert any("中" in item for item in json.loads(out)["unmatched"])
        else:
            assert out.decode(encoding)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_output_says_what_was_kept(home: Path, tmp_path: Path) -> None:
    """It said that nothing was lost and to report it, though the reading was kept."""
    case = sealed(tmp_path / "case.yaml", ("intake", INTAKE))
    with Path("/dev/full").open("wb") as full:
        for command in (["triage", case], ["--help"], ["code", "P0442"]):
            process = start(*command, home=home, stdout=full)
            _, err = process.communicate(timeout=120)
            assert process.returncode == 74 and b"Nothing was written" in err, err
        process = start("record", case, "sensor-hose-look", "sound", home=home, stdout=full)
        _, err = process.communicate(timeout=120)
    assert process.returncode == 74 and b"Written before: " in err, err
    assert str(case).encode() in err.replace(b"\n", b""), err
    assert b"Exception ignored" not in err and len(casefile.read(case)) == 3


@pytest.mark.skipif(not shutil.which("sh"), reason="no shell that closes an output")
@pytest.mark.parametrize("closed", [">&-", ">&- 2>&-"])
def test_an_output_closed_from_the_start_is_no_fault(closed: str, home: Path, tmp_path: Path) -> None:
    """It ended with 70, an internal fault, for every command."""
    case = sealed(tmp_path / "case.yaml", ("intake", INTAKE))
    line = ["sh", "-c", f'exec "$@" {closed}', "sh", *command_line()]
    places = {"XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(home / "cache")}
    for command in (["--help"], ["code", "P0442"], ["record", str(case), "sensor-hose-look", "sound"]):
        done = subprocess.run(
            [*line, *command], env={**os.environ, **places}, stderr=subprocess.PIPE, timeout=120, check=False
        )
        assert (done.returncode, b"fault" in done.stderr) == (0, False), done.stderr
    assert len(casefile.read(case)) == 3


def test_who_reads_no_further_has_found_nothing(home: Path) -> None:
    """``proveout ... | head`` ended with 1, which means findings: click makes a broken pipe into that."""
    for command in (["rules", "list", "causes"], ["--help"], ["code", "P0442", "--json"]):
        read, write = os.pipe()
        os.close(read)
        process = start(*command, home=home, stdout=write)
        os.close(write)
        _, err = process.communicate(timeout=120)
        assert (process.returncode, err) == (0, b""), command


def test_an_interrupt_while_printing_says_what_was_kept(home: Path, tmp_path: Path) -> None:
    """The answer stops in a pipe that nobody reads; the reading has been kept by then."""
    case = sealed(tmp_path / "case.yaml", ("intake", INTAKE))
    read, write = os.pipe()
    while True:  # fill the pipe so that the first line blocks
        os.set_blocking(write, False)
        try:
            os.write(write, b"x" * 4096)
        except BlockingIOError:
            break
    os.set_blocking(write, True)
    process = start("record", case, "sensor-hose-look", "sound", home=home, stdout=write)
    os.close(write)
    end = time.monotonic() + 100
    while len(case.read_bytes().split(b"\nkind: ")) < 4 and time.monotonic() < end:
        time.sleep(0.05)
    time.sleep(1)
    process.send_signal(signal.SIGINT)
    os.set_blocking(read, False)
    deadline = time.monotonic() + 60
    while process.poll() is None and time.monotonic() < deadline:
        try:
            os.read(read, 1 << 20)
        except BlockingIOError:
            time.sleep(0.02)
    os.close(read)
    assert process.stderr is not None
    err = process.stderr.read()
    assert process.returncode == 130 and f"Written before: {case}".encode() in err, err
    assert len(casefile.read(case)) == 3


def test_a_value_below_zero_is_a_value(home: Path, tmp_path: Path) -> None:
    """``"-20 inhg"`` printed the help, gave 0 and recorded nothing."""
    case = sealed(tmp_path / "case.yaml", ("intake", INTAKE))
    for value in ("-20 inhg", "-h", "-20", "-5 inHg"):
        answer = run("record", case, "purge-valve-holds-vacuum", value, home=home)
        if value == "-h":
            assert answer.code == 0 and answer.out.startswith("Usage")
        else:
            assert "Usage" not in answer.out
            assert answer.code == 3 or len(casefile.read(case)) > 1, answer


@pytest.mark.parametrize("value", ["9" * 20, "nan", "inf", "-1", "1e400"])
def test_a_number_out_of_all_proportion_is_wrong_usage(value: str, home: Path, tmp_path: Path) -> None:
    case = sealed(tmp_path / "case.yaml", ("intake", INTAKE))
    for arguments in (
        ["cases", tmp_path, "--most", value],
        ["cases", tmp_path, "--wrong-cost", value],
        ["learn", tmp_path, "--prior-jobs", value],
        ["purchase", case, "sensor-hose-cracked", "--cost", value, "--reason", "x"],
        ["repair", case, "sensor-hose-cracked", "--minutes", value],
    ):
        assert run(*arguments, home=home).code == 2, arguments


def readme_commands() -> list[str]:
    """Return the commands of the README that stand there in full."""
    text = (Path(__file__).parents[2] / "README.md").read_text()
    found = [line.split("  #")[0].strip() for line in text.splitlines() if line.startswith("proveout ")]
    # work needs a terminal, where test_cli_work carries it out; serve ends when it is stopped: test_serve_*
    left_out = "proveout work", "proveout serve"
    return [line for line in found if "INSPECTION" not in line and not line.startswith(left_out)]


#: Of the shipped cases, on which two books are compared, every so many one is tried.
EVERY = 40


@pytest.mark.long(60)
def test_the_examples_of_the_readme_run(home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its first one named a component that the book does not have.

    Of a simulation four cases are played, not the thousands of the example, which take minutes to hours; and
    two books are compared on some of the shipped cases, not on hundreds.
    """
    few = tmp_path / "few"
    few.mkdir()
    for case in shipped_cases()[::EVERY]:
        shutil.copy(case, few)
    monkeypatch.setattr("proveout.app.comparing.cases_dir", lambda: few)
    monkeypatch.chdir(tmp_path)
    lines = readme_commands()
    assert len(lines) >= 6
    for line in lines:
        for part in line.split(" && "):
            command = shlex.split(re.sub(r"--cases \d+", "--cases 4", part))
            answer = run(*command[1:], home=home)
            assert answer.code in (0, 1), (part, answer)


def test_an_empty_name_of_a_file_is_wrong_usage(home: Path) -> None:
    """As a key it was an internal fault (70), as a layer the directory at hand."""
    for words in (["seal", "--new-key", ""], ["code", "P0442", "--rules", ""], ["triage", ""]):
        answer = proveout(*words, home=home)
        assert answer.code == 2 and "The name is empty." in answer.err, answer
    long = proveout("completion", "x" * 100_000, home=home)
    assert long.code == 2 and len(long.err) < 5000
