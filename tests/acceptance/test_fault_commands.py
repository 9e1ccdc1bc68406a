"""Whatever call to the system fails in whatever command: the old or the new content, and true words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any, Self

import pytest

from helpers_attack import CAUSE, HOSE, INTAKE, sealed
from helpers_book import write_book
from helpers_cli import proveout
from helpers_faults import (
    DONE,
    GONE,
    LASTING,
    NO_OUTPUT,
    Killed,
    SystemFault,
    every_fault,
    full_output,
    kept_under,
    under,
)
from proveout.app import keeping
from proveout.book.compiled.shelf import SUFFIX, Shelf
from proveout.book.load import load_book
from proveout.record import casefile

BEGUN = ("intake", INTAKE)
REPAIRED = ("repair", {**CAUSE, "voids": ["sensor-hose-look"]})

#: Commands that append to a case, each with the events before it.
APPENDING: Mapping[str, tuple[Sequence[tuple[str, Any]], Sequence[object]]] = {
    "record": ((BEGUN,), ["sensor-hose-look", "sound"]),
    "amend": ((BEGUN,), ["--code", "P0442"]),
    "undo": ((BEGUN, ("reading", HOSE)), []),
    "mend": ((BEGUN, ("reading", HOSE)), ["sensor-hose-cracked"]),
    "watch": ((BEGUN, ("reading", HOSE), ("mending", CAUSE)), ["stays-away"]),
    "purchase": ((BEGUN,), ["sensor-hose-cracked", "--cost", 6, "--reason", "x"]),
    "repair": ((BEGUN,), ["sensor-hose-cracked"]),
    "verify": ((BEGUN, REPAIRED), ["--codes-cleared"]),
    "close": ((BEGUN,), ["given-up"]),
    "reopen": ((BEGUN, ("close", {"outcome": "given-up"})), ["--reason", "it is back"]),
    "seal": ((BEGUN,), ["--key", "KEY"]),
    "work": ((BEGUN,), []),
}
#: What tells of its work on standard error only.
SILENT = frozenset({"watch", "close", "reopen", "seal"})
#: What is typed at ``work``: the inspection that it proposes is put off, and the job left.
TYPED = "later\nstop\n"


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The user's directories with the shipped book kept in them, so that a command writes its case only."""
    found = tmp_path_factory.mktemp("home")
    assert proveout("intake", found / "first.yaml", "--code", "P0442", home=found).code == 0
    assert proveout("seal", "--new-key", found / "key", home=found).code == 0
    return found


@pytest.fixture(autouse=True)
def at_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """``work`` takes the test for a terminal."""
    monkeypatch.setattr("proveout.cli.work.at_terminal", lambda: True)


@pytest.mark.parametrize("command", APPENDING)
def test_appending(command: str, home: Path, tmp_path: Path) -> None:
    events, given = APPENDING[command]
    words = [home / "key" if word == "KEY" else word for word in given]
    case = tmp_path / "van.yaml"

    def run(_: int, fault: SystemFault) -> bool:
        before = sealed(case, *events).read_bytes()
        answer = under(fault, command, case, *words, home=home, stdin=TYPED)
        after = case.read_bytes()
        assert casefile.verify(case).sound and after.startswith(before)
        assert kept_under(tmp_path).keys() == {"van.yaml"}
        if answer.code in DONE:
            assert len(after) > len(before)
        elif answer.code == GONE:
            pass
        elif len(after) > len(before):
            told = (
                f"Written before: {case}",
                f"everything recorded is kept. Go on with: proveout work {case}",
            )
            assert any(line in answer.err for line in told), (fault.failed, answer.err)
        else:
            assert str(case) not in answer.err.partition("Written before:")[2]
        return bool(fault.failed)

    every_fault(run, step=len(LASTING) if command == "work" else 1)  # each of its runs is a whole job
    sealed(case, *events)
    assert proveout(command, case, *words, home=home, stdin=TYPED).code in DONE


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("command", APPENDING)
def test_appending_to_a_full_output(command: str, home: Path, tmp_path: Path) -> None:
    """What was recorded before the output failed stays, and is told."""
    events, given = APPENDING[command]
    words = [home / "key" if word == "KEY" else word for word in given]
    case = sealed(tmp_path / "van.yaml", *events)
    before = case.read_bytes()
    answer = proveout(command, case, *words, home=home, stdin=TYPED, during=full_output())
    assert casefile.verify(case).sound and case.read_bytes().startswith(before)
    has_grown = len(case.read_bytes()) > len(before)
    if command in SILENT:
        assert (answer.code, has_grown) == (0, True), answer
    else:
        assert answer.code == NO_OUTPUT and (f"Written before: {case}" in answer.err) == has_grown, answer


class Earlier(datetime):
    """A clock that has gone back."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> Self:
        return cls(1999, 12, 31, 23, 59, 59, tzinfo=tz)


@pytest.mark.parametrize("command", APPENDING)
def test_appending_when_the_clock_has_gone_back(
    command: str, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was done is kept in its order, whatever the clock says, and the audit names the time."""
    events, given = APPENDING[command]
    words = [home / "key" if word == "KEY" else word for word in given]
    case = sealed(tmp_path / "van.yaml", *events)
    monkeypatch.setattr(keeping, "datetime", Earlier)
    answer = proveout(command, case, *words, home=home, stdin=TYPED)
    assert answer.code in DONE, answer
    assert len(casefile.read(case)) > len(events) and casefile.verify(case).sound
    audit = proveout("audit", case, home=home)
    assert audit.code == 1 and "1999-12-31" in audit.out, audit


@pytest.mark.long(10)
def test_opening_with_the_book_kept_for_the_first_time(tmp_path: Path) -> None:
    """The case, its advice and the book behind it: all or nothing, in a new home each time."""

    def run(nth: int, fault: SystemFault) -> bool:
        place = tmp_path / f"{fault.name}-{nth}"
        (place / "shop").mkdir(parents=True)
        case = place / "shop" / "van.yaml"
        answer = under(fault, "intake", case, "--code", "P0442", home=place / "home")
        if case.exists():
            assert [event.kind for event in casefile.read(case)] == ["intake", "advice"]
            assert proveout("audit", case, home=place / "home").code == 0, "the book of the advice is there"
            assert answer.code in (0, GONE) or f"{case}" in answer.err
        else:
            assert answer.code != 0
            assert proveout("intake", case, "--code", "P0442", home=place / "home").code == 0
        left = [name for name in kept_under(place / "shop") if name != "van.yaml"]
        assert not left or "unlink" in fault.failed or answer.code == GONE, (fault.failed, left)
        return bool(fault.failed)

    every_fault(run, step=len(LASTING))


def test_looking_codes_up_needs_nothing_that_can_be_written(tmp_path: Path) -> None:
    """First looks, names for completion and the index are kept where that can be, and done without else."""
    sealed(tmp_path / "van.yaml", BEGUN)
    several = (["code", "P0442"], ["cases", tmp_path, "--json"], ["batch", tmp_path, "--jobs", 1])
    for words in several:
        wanted = proveout(*words, home=tmp_path / "first").out

        def run(nth: int, fault: SystemFault, words: Sequence[object] = words, wanted: str = wanted) -> bool:
            own = tmp_path / f"{fault.name}-{nth}-{words[0]}"
            answer = under(fault, *words, home=own)
            assert (answer.code, answer.out) == (0, wanted) or answer.code in (3, 130, GONE), answer
            assert proveout(*words, home=own).out == wanted
            return bool(fault.failed)

        every_fault(run, step=len(LASTING))


def test_compiling_a_book(tmp_path: Path) -> None:
    """A compiled book that cannot be kept is made in memory; a torn one is never opened."""
    rules = write_book(tmp_path / "rules")
    wanted = load_book((), base=rules).digest

    def run(nth: int, fault: SystemFault) -> bool:
        cache = tmp_path / f"{fault.name}-{nth}"
        with fault.installed():
            try:
                found = load_book((), base=rules, cache=cache)
            except (KeyboardInterrupt, Killed):
                assert fault.name in ("interrupt", "killed")
            else:
                assert found.digest == wanted
        assert load_book((), base=rules, cache=cache).digest == wanted
        for path in cache.glob(f"*{SUFFIX}"):
            assert Shelf(cache).find(path.stem.split("-")[0]) == path, "it answers to its name"
        return bool(fault.failed)

    every_fault(run, step=len(LASTING))
