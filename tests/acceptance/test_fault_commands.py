"""Whatever call to the system fails in whatever command: the old or the new content, and true words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from helpers_attack import INTAKE, sealed
from helpers_book import write_book
from helpers_cli import Answer, proveout
from helpers_faults import FAULTS, SystemFault, kept_under
from proveout.book.compiled.shelf import SUFFIX, Shelf
from proveout.book.load import load_book
from proveout.record import casefile

CAUSE = {"cause": "sensor-hose-cracked"}
HOSE = {"inspection": "sensor-hose-look", "result": "cracked-or-off"}
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
}


#: Exit codes of what was done; a repair that is not confirmed yet gives 1.
DONE = (0, 1)
#: Faults that differ from a full disk only in what is said of the first call.
ALIKE = frozenset({"read-only", "foreign"})
LASTING = tuple(kind for kind in FAULTS if kind not in ALIKE)


def every_fault(run: Callable[[int, SystemFault], bool], *, each: bool = True) -> None:
    """Call ``run`` with the 1st, 2nd, ... call failing until none is left: in each way, or in turns."""
    for start, kind in enumerate(FAULTS if each else LASTING):
        for nth in range(1, 400) if each else range(1 + start, 400, len(LASTING)):
            if not run(nth, FAULTS[kind](nth)):
                assert nth > 1, f"{kind}: no call was watched"
                break
            if kind in ALIKE:
                break


def under(fault: SystemFault, *words: object, home: Path) -> Answer:
    """Run a command under a fault and require what every command owes."""
    answer = proveout(*words, home=home, during=fault.installed())
    assert answer.code in (*DONE, 3, 130), (fault.failed, answer)
    assert answer.code in DONE or answer.err.strip()
    return answer


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The user's directories with the shipped book kept in them, so that a command writes its case only."""
    found = tmp_path_factory.mktemp("home")
    assert proveout("intake", found / "first.yaml", "--code", "P0442", home=found).code == 0
    return found


@pytest.mark.parametrize("command", APPENDING)
def test_appending(command: str, home: Path, tmp_path: Path) -> None:
    events, words = APPENDING[command]
    case = tmp_path / "van.yaml"

    def run(_: int, fault: SystemFault) -> bool:
        before = sealed(case, *events).read_bytes()
        answer = under(fault, command, case, *words, home=home)
        after = case.read_bytes()
        assert casefile.verify(case).sound and after.startswith(before)
        assert kept_under(tmp_path).keys() == {"van.yaml"}
        if answer.code in DONE:
            assert len(after) > len(before)
        elif len(after) > len(before):
            assert f"Written before: {case}" in answer.err, (fault.failed, answer.err)
        else:
            assert str(case) not in answer.err.partition("Written before:")[2]
        return bool(fault.failed)

    every_fault(run)
    sealed(case, *events)
    assert proveout(command, case, *words, home=home).code in DONE


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
            assert answer.code == 0 or f"{case}" in answer.err
        else:
            assert answer.code != 0
            assert proveout("intake", case, "--code", "P0442", home=place / "home").code == 0
        left = [name for name in kept_under(place / "shop") if name != "van.yaml"]
        assert not left or "unlink" in fault.failed, (fault.failed, left)
        return bool(fault.failed)

    every_fault(run, each=False)


#: Commands that write a file of their own: its words, of which CASE, DIR and OUT are filled in.
WRITING: Mapping[str, Sequence[str]] = {
    "report": ["report", "CASE", "--out", "OUT"],
    "steps": ["steps", "CASE", "sensor-hose-look", "--page", "OUT"],
}


@pytest.mark.parametrize("what", WRITING)
def test_writing_a_file(what: str, home: Path, tmp_path: Path) -> None:
    """Whole or not at all; an older one stays until the new one is whole."""
    shop, out = tmp_path / "shop", tmp_path / "out"
    shop.mkdir()
    closed = ("close", {"outcome": "confirmed", **CAUSE})
    case = sealed(shop / "van.yaml", BEGUN, ("reading", HOSE), REPAIRED, closed)
    given = {"CASE": str(case), "DIR": str(shop), "OUT": str(out)}
    words = [given.get(word, word) for word in WRITING[what]]
    assert proveout(*words, home=home).code == 0
    whole = kept_under(tmp_path)
    assert any(name.startswith("out") for name in whole)

    def run(_: int, fault: SystemFault) -> bool:
        answer = under(fault, *words, home=home)
        now = kept_under(tmp_path)
        strange = {name for name in now if name not in whole}
        assert not strange or "unlink" in fault.failed, (fault.failed, strange)
        for name in strange:
            (tmp_path / name).unlink()
        assert now[case.relative_to(tmp_path).as_posix()] == case.read_bytes()
        assert all(now[name] == whole[name] or answer.code == 0 for name in whole if name in now)
        assert whole.keys() <= now.keys()
        return bool(fault.failed)

    every_fault(run, each=False)


def test_looking_codes_up_needs_nothing_that_can_be_written(tmp_path: Path) -> None:
    """First looks, names for completion and the index are kept where that can be, and done without else."""
    sealed(tmp_path / "van.yaml", BEGUN)
    for words in (["code", "P0442"], ["cases", tmp_path, "--json"]):
        wanted = proveout(*words, home=tmp_path / "first").out

        def run(nth: int, fault: SystemFault, words: Sequence[object] = words, wanted: str = wanted) -> bool:
            own = tmp_path / f"{fault.name}-{nth}-{words[0]}"
            answer = proveout(*words, home=own, during=fault.installed())
            assert (answer.code, answer.out) == (0, wanted) or answer.code in (3, 130), answer
            assert proveout(*words, home=own).out == wanted
            return bool(fault.failed)

        every_fault(run, each=False)


def test_compiling_a_book(tmp_path: Path) -> None:
    """A compiled book that cannot be kept is made in memory; a torn one is never opened."""
    rules = write_book(tmp_path / "rules")
    wanted = load_book((), base=rules).digest

    def run(nth: int, fault: SystemFault) -> bool:
        cache = tmp_path / f"{fault.name}-{nth}"
        with fault.installed():
            try:
                found = load_book((), base=rules, cache=cache)
            except KeyboardInterrupt:
                assert fault.name == "interrupt"
            else:
                assert found.digest == wanted
        assert load_book((), base=rules, cache=cache).digest == wanted
        for path in cache.glob(f"*{SUFFIX}"):
            assert Shelf(cache).find(path.stem.split("-")[0]) == path, "it answers to its name"
        return bool(fault.failed)

    every_fault(run, each=False)
