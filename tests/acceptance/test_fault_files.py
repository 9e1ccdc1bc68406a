"""Commands that write files of their own, under every fault: the old or the new one whole, and true words."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from helpers_attack import CAUSE, HOSE, INTAKE, sealed
from helpers_book import write_book
from helpers_cli import Answer, proveout
from helpers_faults import (
    DONE,
    GONE,
    LASTING,
    NO_OUTPUT,
    SystemFault,
    every_fault,
    full_output,
    kept_under,
    under,
)
from helpers_learn import closed_cases, write_shop
from proveout.book import shipped
from proveout.text.shipped import shipped_dir

CLOSED: Sequence[tuple[str, Any]] = (
    ("intake", INTAKE),
    ("reading", HOSE),
    ("repair", {**CAUSE, "voids": ["sensor-hose-look"]}),
    ("close", {"outcome": "confirmed", **CAUSE}),
)
#: How lines begin that tell of something else than what went wrong.
TOLD = ("Compiling ", "Wrote ", "Mended: ", "Checking ")
UNTIDY = "components:   \n  - {id: drain, title: Drain}\r\n\n\n"
READER = "tools:\n  - {id: p-reader, title: Reader, basic: true}\n"
DRIPS = """\
symptoms:
  - {id: drips, title: Drips, seen_with: {hose-cracked: often}, otherwise: 0.01,
     because: So it is., source: own jobs}
"""
MISTAKEN = "components:\n  - {id: drain, tittle: Drain}\n"


def _case(place: Path) -> None:
    sealed(place / "van.yaml", *CLOSED)


def _untidy(place: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        (place / name).write_text(UNTIDY, "utf-8")


def _mistaken(place: Path) -> None:
    (place / "a.yaml").write_text(MISTAKEN, "utf-8")
    (place / "b.yml").write_text(READER, "utf-8")


def _learned(place: Path) -> None:
    for number, events in enumerate(closed_cases(30, seed=3)):
        found = [(event.kind, event.body) for event in events if event.kind != "advice"]
        sealed(place / f"case-{number}.yaml", *found)


def _layer(place: Path) -> None:
    (place / "own").mkdir()
    (place / "own" / "drips.yaml").write_text(DRIPS, "utf-8")


def _nothing(_: Path) -> None:
    pass


def _small(home: Path) -> Path:
    return write_book(home)


@dataclass(frozen=True)
class Writing:
    """A command that writes files.

    Attributes:
        words: of the command; PLACE/ in them is the directory that it works in.
        before: puts what it works on there.
        older: words of the command that wrote what it replaces; none where nothing may stand there.
        book: writes the book in the place of the shipped one; none for the shipped one.
        step: only every so many-th call fails, as each run takes long.
        drawn: what it writes is drawn anew each time: only how long it is can be compared.
    """

    words: str
    before: Callable[[Path], None] = _case
    older: str = ""
    book: Callable[[Path], Path] | None = None
    step: int = len(LASTING)
    drawn: bool = False


LEARN = "learn PLACE/ --into PLACE/layer --plot PLACE/plot.svg --write"
REPORT = "report PLACE/van.yaml --out PLACE/out"
STEPS = "steps PLACE/van.yaml cap-seal-look --page PLACE/out"
NEW = "--in PLACE/own --kind symptom --title Noted --cause hose-cracked"
SCHEMA = "rules schema --out PLACE/out"
COMMANDS: Mapping[str, Writing] = {
    "report": Writing(f"{REPORT} --for technician", older=REPORT),
    "steps": Writing("steps PLACE/van.yaml sensor-hose-look --page PLACE/out", older=STEPS),
    "export": Writing("audit PLACE/van.yaml --export PLACE/out"),
    "new-key": Writing("seal --new-key PLACE/key", drawn=True),
    "request": Writing("seal PLACE/van.yaml --request PLACE/out", drawn=True),
    "learn": Writing(LEARN, _learned, f"{LEARN} --prior-jobs 100", write_shop),
    "new": Writing(f"rules new drips {NEW}", _nothing, book=_small),
    "new-beside": Writing(f"rules new hums {NEW}", _layer, book=_small),
    "docs": Writing(
        "rules docs PLACE/pages --rules PLACE/own", _layer, "rules docs PLACE/pages", _small, step=23
    ),
    "schema": Writing(f"{SCHEMA} --rules PLACE/own", _layer, SCHEMA, _small),
    "fmt": Writing("rules fmt PLACE/", _untidy),
    "fix": Writing("rules check PLACE/ --fix", _mistaken, book=_small),
    "manual": Writing("manual --into PLACE/pages", _nothing, step=23),
}


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The user's directories, shared so that books are compiled once."""
    return tmp_path_factory.mktemp("home")


@pytest.fixture
def writing(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Writing]:
    found = COMMANDS[request.param]
    if found.book is not None:
        small = found.book(tmp_path / "book")
        monkeypatch.setattr(
            shipped, "shipped_dir", lambda name: small if name == "rules" else shipped_dir(name)
        )
    yield found


def _run(words: str, place: Path) -> Sequence[str]:
    return words.replace("PLACE", str(place)).split()


@pytest.mark.parametrize("writing", COMMANDS, indirect=True)
def test_the_old_or_the_new_files_whole(writing: Writing, home: Path, tmp_path: Path) -> None:
    place, kept = tmp_path / "place", tmp_path / "kept"
    kept.mkdir()
    writing.before(kept)
    shutil.copytree(kept, place)
    words = _run(writing.words, place)
    if writing.older:
        assert proveout(*_run(writing.older, place), home=home).code in DONE
    old = kept_under(place)
    shutil.rmtree(kept)
    shutil.copytree(place, kept)
    done = proveout(*words, home=home)
    assert done.code in DONE, done
    new = kept_under(place)
    changed = {name for name in old.keys() | new.keys() if old.get(name) != new.get(name)}
    assert changed, "it writes something"

    def run(_: int, fault: SystemFault) -> bool:
        shutil.rmtree(place)
        shutil.copytree(kept, place)
        answer = under(fault, *words, home=home)
        now = kept_under(place)
        _whole(answer, fault, writing, (old, now, new))
        if answer.code in (3, 130):
            anew = {name for name in now if now[name] == new.get(name) or (writing.drawn and name in new)}
            anew |= {name for name in now if _list_so_far(name, now, old, new)}
            _told(answer, place, anew, {name for name in anew if now[name] != old.get(name)})
        return bool(fault.failed)

    every_fault(run, step=writing.step)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("writing", COMMANDS, indirect=True)
def test_a_full_output_stops_no_file_halfway(writing: Writing, home: Path, tmp_path: Path) -> None:
    place = tmp_path / "place"
    place.mkdir()
    writing.before(place)
    words = _run(writing.words, place)
    old = kept_under(place)
    answer = proveout(*words, home=home, during=full_output())
    now = kept_under(place)
    changed = {name for name in now if now[name] != old.get(name)}
    assert answer.code in (*DONE, NO_OUTPUT), answer
    assert answer.code == NO_OUTPUT or changed
    if answer.code == NO_OUTPUT:
        assert all(f"{place / name}" in answer.err for name in changed), answer
        assert changed or "Nothing was written" in answer.err, answer
    assert not [name for name in changed if name.endswith(".new")]


def _list_so_far(name: str, *contents: dict[str, bytes]) -> bool:
    """Say whether a file is the list of pages that ``rules docs`` wrote: part of the old and the new."""
    now, old, new = (set(one.get(name, b"").splitlines()) for one in contents)
    return name.endswith("written.sha256") and now <= old | new


def _whole(
    answer: Answer,
    fault: SystemFault,
    writing: Writing,
    contents: tuple[dict[str, bytes], dict[str, bytes], dict[str, bytes]],
) -> None:
    """Require each file to be the old one or the new one, and nothing else to lie about."""
    old, now, new = contents
    left = {name for name in now if name not in old and name not in new}
    assert not left or "unlink" in fault.failed or answer.code == GONE, (fault.name, fault.failed, left)
    assert all(name.endswith(".new") for name in left)
    for name in now.keys() - left:
        alike = now[name] in (old.get(name), new.get(name)) or _list_so_far(name, now, old, new)
        assert alike or (writing.drawn and len(now[name]) == len(new[name])), (fault.name, fault.failed, name)
    assert (old.keys() & new.keys()) <= now.keys(), (fault.name, fault.failed, answer)
    if answer.code in DONE:
        assert {name: len(data) for name, data in now.items() if name not in left} == {
            name: len(data) for name, data in new.items()
        }, (fault.name, fault.failed, answer)


def _told(answer: Answer, place: Path, anew: set[str], changed: set[str]) -> None:
    """Require a message that names what was written and nothing else, and says once what went wrong."""
    head, _, tail = answer.err.partition("Written before: ")
    names = tail.partition(" and ")[0].rstrip(".\n").split(", ")
    named = {Path(name).relative_to(place).as_posix() for name in names if name.startswith(f"{place}/")}
    said = f"{answer.err}\nanew {sorted(anew)}\nchanged {sorted(changed)}"
    assert named <= anew and (changed <= named or " more." in tail), said
    lines = [line for line in head.splitlines() if line.strip(" .") and not line.startswith(TOLD)]
    assert len(lines) == len({line.partition(": ")[0] for line in lines}), said
