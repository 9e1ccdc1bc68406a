"""Whatever fails while a record is written, the old or the new content stands, and the next run works."""

from __future__ import annotations

import errno
import os
import random
import signal
import sqlite3
import time
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_record import INTAKE, FaultyOs, at, names, with_fault, write_case
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import casefile, files, snapshot
from proveout.record.index import CaseIndex
from proveout.record.verify import Verification, check

#: Kinds of fault: one call fails, the disk is full from then on, or a write is cut short and then fails.
FAULTS = {
    "once": lambda n: FaultyOs(n),
    "disk-full": lambda n: FaultyOs(n, errno.ENOSPC, lasting=True, calls=("write", "fsync")),
    "short-write": lambda n: FaultyOs(n, short=True, calls=("write",)),
    "read-only": lambda n: FaultyOs(n, errno.EROFS, lasting=True, calls=("open",)),
}


def every_fault(kind: str, home: Path, run: Callable[[Path, FaultyOs], bool]) -> None:
    """Call ``run`` in fresh directories with the fault at the 1st, 2nd, ... call until none is left."""
    for n in range(1, 200):
        fault = FAULTS[kind](n)
        directory = home / f"{kind}-{n}"
        directory.mkdir()
        if not run(directory, fault):
            assert n > 1, "no call was watched"
            return
    raise AssertionError("the operation never came to its end")


@pytest.mark.parametrize("kind", FAULTS)
def test_creating(kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def run(directory: Path, fault: FaultyOs) -> bool:
        path = directory / "van.yaml"
        error = with_fault(monkeypatch, fault, lambda: casefile.create(path, INTAKE, at(1)))
        if not fault.failed:
            assert error is None and casefile.read(path)[0].body == INTAKE
            return False
        assert isinstance(error, BadInputError), repr(error)
        assert "\n" not in str(error)
        assert names(directory) <= {"van.yaml"}
        if path.exists():  # only where waiting for the directory itself failed
            assert error.problems[0].check == "cannot-confirm"
        else:
            casefile.create(path, INTAKE, at(1))
        assert casefile.read(path)[0].body == INTAKE
        return True

    every_fault(kind, tmp_path, run)


@pytest.mark.parametrize("events", [("note",), ("close",), ("reading", "advice")])
@pytest.mark.parametrize("kind", FAULTS)
def test_appending(
    kind: str, events: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Several at once are kept all or not at all."""
    bodies = {"close": {"outcome": "given-up"}, "reading": {"inspection": "hose-look", "result": "whole"}}
    entries = [(event, {**bodies.get(event, {"text": "x" * 300})}) for event in events]

    def run(directory: Path, fault: FaultyOs) -> bool:
        path = directory / "van.yaml"
        old = write_case(path, 3)
        error = with_fault(monkeypatch, fault, lambda: casefile.append_all(path, entries, at(4)))
        if not fault.failed:
            assert error is None and len(casefile.read(path)) == 3 + len(events)
            return False
        assert isinstance(error, BadInputError), repr(error)
        assert str(path) in str(error) or str(directory) in str(error)
        assert path.read_bytes() == old
        assert names(directory) == {"van.yaml"}
        casefile.append_all(path, entries, at(4))
        assert [event.kind for event in casefile.read(path)[3:]] == list(events)
        return True

    every_fault(kind, tmp_path, run)


@pytest.mark.parametrize("kind", FAULTS)
def test_keeping_a_snapshot(kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rules = write_book(tmp_path / "rules")
    for path in rules.iterdir():
        if path.name not in ("causes.yaml", "rules.yaml"):
            path.unlink()
    taken = snapshot.take((rules,))

    def run(directory: Path, fault: FaultyOs) -> bool:
        store = directory / "store"
        error = with_fault(monkeypatch, fault, lambda: snapshot.keep(store, taken))
        if not fault.failed:
            assert error is None and snapshot.load(store, taken.digest) == taken
            return False
        assert isinstance(error, BadInputError), repr(error)
        assert not [name for name in names(directory) if name.endswith(".new")]
        assert snapshot.keep(store, taken) == taken.digest
        assert snapshot.load(store, taken.digest) == taken
        return True

    every_fault(kind, tmp_path, run)


@pytest.mark.parametrize("kind", FAULTS)
def test_making_an_index(kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def run(directory: Path, fault: FaultyOs) -> bool:
        shop, home = directory / "shop", directory / "home"
        shop.mkdir()
        write_case(shop / "van.yaml", 2)
        error = with_fault(monkeypatch, fault, CaseIndex(shop, home).refresh)
        if fault.failed and error is not None:
            assert isinstance(error, BadInputError), repr(error)
        assert names(shop) == {"van.yaml"}
        assert not [name for name in names(home) if name.endswith(".new")]
        assert CaseIndex(shop, home).refresh().problems == ()
        assert len(CaseIndex(shop, home).find()) == 1
        return bool(fault.failed)

    every_fault(kind, tmp_path, run)


def test_an_index_on_a_full_disk_keeps_its_old_content(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, home = tmp_path / "shop", tmp_path / "home"
    shop.mkdir()
    write_case(shop / "first.yaml", 2)
    CaseIndex(shop, home).refresh()
    for number in range(60):
        write_case(shop / f"more-{number}.yaml", 2)
    real = sqlite3.connect
    (file,) = home.glob("*.sqlite")
    used = file.stat().st_size // 4096
    for pages in range(used, used + 3):

        def cramped(*args: object, limit: int = pages, **kwargs: object) -> sqlite3.Connection:
            base: sqlite3.Connection = real(*args, **kwargs)  # type: ignore[call-overload]
            base.execute(f"PRAGMA max_page_count = {limit}")
            return base

        with monkeypatch.context() as patch:
            patch.setattr(sqlite3, "connect", cramped)
            with pytest.raises(BadInputError, match="full"):
                CaseIndex(shop, home).refresh()
        assert len(CaseIndex(shop, home).find()) == 1
    CaseIndex(shop, home).refresh()
    assert len(CaseIndex(shop, home).find()) == 61
    assert not [name for name in names(home) if name.endswith("-journal")]


def killed_at_random(child: Callable[[Callable[[], object]], None], delays: list[float]) -> list[int]:
    """Run ``child`` in a process of its own, kill it after each delay, and give how much it had confirmed."""
    confirmed = []
    for delay in delays:
        read, write = os.pipe()
        pid = os.fork()
        if pid == 0:
            with suppress(BaseException):
                child(partial(os.write, write, b"."))
            os._exit(0)
        os.close(write)
        first = os.read(read, 1)  # it is at work
        time.sleep(delay)
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        count = len(first)
        while more := os.read(read, 4096):
            count += len(more)
        os.close(read)
        confirmed.append(count)
    return confirmed


def random_delays(seed: int, count: int, most: float) -> list[float]:
    dice = random.Random(seed)
    return [dice.uniform(0, most) for _ in range(count)]


def test_killed_while_appending_nothing_confirmed_is_lost(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, 1)

    def child(confirm: Callable[[], object]) -> None:
        while True:
            casefile.append(path, "note", {"text": "y" * 500}, at(2))
            confirm()

    total = 1
    for delay in random_delays(1, 30, 0.03):
        (confirmed,) = killed_at_random(child, [delay])
        found = casefile.verify(path)
        if found.torn_at is not None:
            casefile.mend_torn(path)
            (tmp_path / "van.yaml.torn").unlink()
            found = casefile.verify(path)
        assert found.sound, found.problems
        assert total + confirmed <= len(found.events) <= total + confirmed + 1
        total = len(found.events)
    assert names(tmp_path) == {"van.yaml"}


def test_killed_while_creating_and_closing(tmp_path: Path) -> None:
    rounds = iter(range(10_000))

    def child(confirm: Callable[[], object]) -> None:
        for number in rounds:
            path = tmp_path / f"case-{os.getpid()}-{number}.yaml"
            casefile.create(path, INTAKE, at(1))
            casefile.append(path, "close", {"outcome": "given-up"}, at(2))
            confirm()

    killed_at_random(child, random_delays(2, 15, 0.02))
    left = [name for name in names(tmp_path) if name.endswith(".new")]
    assert len(left) <= 15, "at most one a kill, under a name of its own that keeps nobody from writing"
    for path in tmp_path.glob("case-*.yaml"):
        assert len(casefile.read(path)) in (1, 2)


def test_killed_while_keeping_snapshots(tmp_path: Path) -> None:
    rules = write_book(tmp_path / "rules")
    store = tmp_path / "store"

    def child(confirm: Callable[[], object]) -> None:
        for number in range(10_000):
            (rules / "extra.codes.yaml").write_text(f"# {os.getpid()} {number}\n[]\n")
            confirm()
            snapshot.keep(store, snapshot.take((rules,)))

    killed_at_random(child, random_delays(3, 15, 0.02))
    for path in (store / "books").glob("[0-9a-f]*.json"):
        assert snapshot.load(store, path.stem).digest == path.stem
    taken = snapshot.take((rules,))
    assert snapshot.load(store, snapshot.keep(store, taken)) == taken


def test_killed_while_indexing(tmp_path: Path) -> None:
    shop, home = tmp_path / "shop", tmp_path / "home"
    shop.mkdir()
    for number in range(40):
        write_case(shop / f"case-{number}.yaml", 3)

    def child(confirm: Callable[[], object]) -> None:
        while True:
            confirm()
            for file in home.glob("*.sqlite"):
                files.remove(file)
            CaseIndex(shop, home).refresh()

    for delay in random_delays(4, 20, 0.05):
        killed_at_random(child, [delay])
        CaseIndex(shop, home).refresh()
        assert len(CaseIndex(shop, home).find()) == 40


def at_once(count: int, work: Callable[[int], None]) -> None:
    """Do work in ``count`` processes at once, each given its number; all must come to their end."""
    pids = []
    for worker in range(count):
        pid = os.fork()
        if pid == 0:
            code = 1
            with suppress(BaseException):
                work(worker)
                code = 0
            os._exit(code)
        pids.append(pid)
    assert [os.waitpid(pid, 0)[1] for pid in pids] == [0] * count


def names_of_one_file(path: Path) -> list[Path]:
    """Return three names of a file in three directories: its own, a second, and through a linked one."""
    home = path.parent
    (home / "other").mkdir()
    (home / "other" / "bus.yaml").hardlink_to(path)
    (home / "linked").symlink_to(home, target_is_directory=True)
    return [path, home / "other" / "bus.yaml", home / "linked" / path.name]


def test_ten_processes_append_through_three_names_of_one_file(tmp_path: Path) -> None:
    """A lock that goes by the directory or the name would let two in at once."""
    path = tmp_path / "van.yaml"
    write_case(path, 1)
    reached = names_of_one_file(path)

    def work(worker: int) -> None:
        for number in range(60):
            body = {"worker": worker, "number": number}
            casefile.append(reached[worker % 3], "note", body, at(2))

    at_once(10, work)
    events = casefile.read(path)
    assert [event.n for event in events] == list(range(1, 602))
    for worker in range(10):
        said = [event.body["number"] for event in events[1:] if event.body["worker"] == worker]
        assert said == list(range(60))
    assert names(tmp_path) == {"van.yaml", "other/bus.yaml"}, "no lock file is left beside a case"


def test_one_of_ten_that_create_the_same_case_wins(tmp_path: Path) -> None:
    path, won = tmp_path / "van.yaml", tmp_path / "won"

    def work(worker: int) -> None:
        with suppress(BadInputError):
            casefile.create(path, {**INTAKE, "title": f"by {worker}"}, at(1))
            won.write_text(str(worker))

    at_once(10, work)
    assert casefile.read(path)[0].body["title"] == f"by {won.read_text()}"
    assert names(tmp_path) == {"van.yaml", "won"}


def as_user(number: int, work: Callable[[], object]) -> int:
    """Do work as another user of the same group and give the exit code; needs root."""
    pid = os.fork()
    if pid == 0:
        code = 1
        with suppress(BaseException):
            os.setgroups([])
            os.setgid(2000)
            os.setuid(number)
            work()
            code = 0
        os._exit(code)
    return os.waitpid(pid, 0)[1]


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="only root can act as two users")
def test_two_users_of_a_shared_folder_write_one_case(tmp_path: Path) -> None:
    """The folder belongs to a group and hands it down, as shared folders do; both have the usual umask."""
    for above in (tmp_path, *tmp_path.parents[:3]):
        above.chmod(0o755)
    shop = tmp_path / "shop"
    shop.mkdir()
    os.chown(shop, 2001, 2000)
    shop.chmod(0o2775)
    path = shop / "van.yaml"
    assert as_user(2001, lambda: write_case(path, 3)) == 0
    assert as_user(2002, lambda: casefile.append(path, "note", {"text": "me too"}, at(4))) == 0
    assert as_user(2001, lambda: casefile.append(path, "note", {"text": "me again"}, at(5))) == 0
    assert len(casefile.read(path)) == 5
    shop.chmod(0o555)
    assert as_user(2002, lambda: list_them(shop, tmp_path / "home-of-2002")) == 0, "a share to read only"


def list_them(shop: Path, home: Path) -> None:
    """List the cases of a shop, of which nothing can be written, not even the user's own directory."""
    index = CaseIndex(shop, home / "indexes")
    assert index.refresh().problems == () and len(index.find()) == 1


class Twelve:
    """A case file of twelve events, cut into its events."""

    def __init__(self, directory: Path) -> None:
        self.path = directory / "van.yaml"
        self.data = write_case(self.path)
        self.events = casefile.read(self.path)
        self.head = self.events[-1].digest
        starts = [at for at in range(len(self.data)) if self.data.startswith(b"---\nn: ", at)]
        self.starts = [*starts, len(self.data)]
        self.header = self.data[: starts[0]]
        self.parts = [self.data[a:b] for a, b in zip(self.starts, self.starts[1:], strict=False)]

    def owner(self, offset: int) -> int:
        """Return the number of the event to which a byte belongs; the header counts to the first."""
        return max(1, sum(start <= offset for start in self.starts))

    def checked(self, parts: list[bytes], head: str | None = None) -> Verification:
        """Check the file with other parts."""
        return check(self.header + b"".join(parts), "van.yaml", head)


@pytest.fixture(scope="module")
def twelve(tmp_path_factory: pytest.TempPathFactory) -> Twelve:
    return Twelve(tmp_path_factory.mktemp("twelve"))


@pytest.mark.long(15)
def test_every_byte_changed_is_detected_at_its_event(twelve: Twelve) -> None:
    assert len(twelve.parts) == 12
    dice = random.Random(5)
    for offset in range(len(twelve.data)):
        changed = bytearray(twelve.data)
        changed[offset] ^= dice.choice((1, 2, 4, 8, 16, 32, 64, 128, 255))
        found = check(bytes(changed), "van.yaml")
        assert found.first_bad == twelve.owner(offset), (offset, found.problems)


def test_every_byte_removed_or_doubled_is_detected_at_its_event(twelve: Twelve) -> None:
    """A byte that equals its neighbour cannot be told from it; it lies in the same event or at its edge."""
    for offset in range(0, len(twelve.data), 9):
        less = twelve.data[:offset] + twelve.data[offset + 1 :]
        more = twelve.data[:offset] + twelve.data[offset : offset + 1] + twelve.data[offset:]
        for data in (less, more):
            found = check(data, "van.yaml")
            owner = twelve.owner(offset)
            assert found.first_bad in {owner, twelve.owner(offset + 1)}, (offset, found.problems)


def test_every_deleted_event_is_detected(twelve: Twelve) -> None:
    for k in range(1, 13):
        parts = [part for n, part in enumerate(twelve.parts, 1) if n != k]
        found = twelve.checked(parts, twelve.head)
        assert found.first_bad == k
        assert found.problems[0].check == ("cut-tail" if k == 12 else "missing-event")
        line = 2 + sum(part.count(b"\n") for part in parts[: k - 1])
        assert found.problems[0].place.line == line


def test_every_cut_tail_is_detected_by_the_head_alone(twelve: Twelve) -> None:
    for k in range(1, 12):
        assert twelve.checked(twelve.parts[:k]).sound
        found = twelve.checked(twelve.parts[:k], twelve.head)
        assert [problem.check for problem in found.problems] == ["cut-tail"]
        assert found.first_bad == k + 1


def test_every_swap_is_detected(twelve: Twelve) -> None:
    for i in range(12):
        for j in range(i + 1, 12):
            parts = list(twelve.parts)
            parts[i], parts[j] = parts[j], parts[i]
            assert twelve.checked(parts).first_bad == i + 1


def test_every_duplicate_is_detected(twelve: Twelve) -> None:
    for k in range(1, 13):
        for p in range(1, 14):
            parts = [*twelve.parts[: p - 1], twelve.parts[k - 1], *twelve.parts[p - 1 :]]
            assert twelve.checked(parts).first_bad == (k + 1 if p == k else p)


def test_every_inserted_event_is_detected(twelve: Twelve) -> None:
    """Even one that follows from the event before it and carries the right digest: the next betrays it."""
    from proveout.record.event import seal, write

    for p in range(2, 13):
        previous = twelve.events[p - 2].digest
        forged = write(seal(p, at(p), "note", previous, {"text": "slipped in"}))
        parts = [*twelve.parts[: p - 1], forged, *twelve.parts[p - 1 :]]
        assert twelve.checked(parts).first_bad == p + 1


def test_every_rewritten_event_is_detected_by_the_next(twelve: Twelve) -> None:
    """An event changed with its digest made anew: nothing is wrong with it but what follows."""
    from msgspec.structs import replace

    from proveout.record.event import seal, write

    for event in twelve.events[:-1]:
        key = {"intake": "title", "reading": "instrument"}.get(event.kind, "remark")
        changed = {**event.body, key: "x"}
        forged = seal(event.n, event.at, event.kind, event.previous, changed)
        parts = list(twelve.parts)
        parts[event.n - 1] = write(replace(forged, place=event.place))
        found = twelve.checked(parts)
        assert found.first_bad == event.n + 1
        assert found.problems[0].check == "broken-chain"


def test_every_torn_end_is_told_apart_and_mended_on_request_only(twelve: Twelve, tmp_path: Path) -> None:
    last = twelve.starts[-2]
    for cut in range(last + 1, len(twelve.data)):
        found = check(twelve.data[:cut], "van.yaml")
        assert [problem.check for problem in found.problems] == ["torn-event"], cut
        assert (found.first_bad, found.torn_at) == (12, last)
    path = tmp_path / "van.yaml"
    torn = twelve.data[: last + 120]
    path.write_bytes(torn)
    with pytest.raises(DamagedRecordError, match="torn"):
        casefile.append(path, "note", {"text": "on"}, at(12))
    with pytest.raises(DamagedRecordError, match="torn"):
        casefile.read(path)
    assert path.read_bytes() == torn
    aside = casefile.mend_torn(path)
    assert aside == tmp_path / "van.yaml.torn" and aside.read_bytes() == torn[last:]
    assert len(casefile.read(path)) == 11
    casefile.append(path, "note", {"text": "on"}, at(12))
    assert casefile.mend_torn(path) is None


def test_zeros_after_a_crash_count_as_torn(twelve: Twelve) -> None:
    found = check(twelve.data[: twelve.starts[-2] + 60] + b"\0" * 200, "van.yaml")
    assert [problem.check for problem in found.problems] == ["torn-event"]


def test_a_mend_leaves_a_tampered_file_alone(twelve: Twelve, tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    data = twelve.data[: twelve.starts[-2] + 60].replace(b"183000", b"138000")
    path.write_bytes(data)
    with pytest.raises(DamagedRecordError, match="event 1"):
        casefile.mend_torn(path)
    assert path.read_bytes() == data


@pytest.mark.parametrize("kind", FAULTS)
def test_mending(kind: str, twelve: Twelve, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    torn = twelve.data[: twelve.starts[-2] + 60]

    def run(directory: Path, fault: FaultyOs) -> bool:
        path = directory / "van.yaml"
        path.write_bytes(torn)
        error = with_fault(monkeypatch, fault, lambda: casefile.mend_torn(path))
        if fault.failed:
            assert isinstance(error, BadInputError), repr(error)
            casefile.mend_torn(path)
        assert names(directory) == {"van.yaml", "van.yaml.torn"}
        assert (directory / "van.yaml.torn").read_bytes() == torn[twelve.starts[-2] :]
        assert len(casefile.read(path)) == 11
        return bool(fault.failed)

    every_fault(kind, tmp_path, run)


@pytest.mark.parametrize(
    ("make", "check_name"),
    [
        (lambda path: path.write_bytes(b""), "no-case-file"),
        (lambda path: path.write_text("codes: [P0442]\n"), "no-case-file"),
        (lambda path: path.write_bytes(b"\xff\xfe\x00"), "no-case-file"),
        (lambda path: path.mkdir(), "cannot-read"),
        (lambda path: path.symlink_to(path), "cannot-read"),
        (lambda path: os.mkfifo(path), "cannot-read"),
        (lambda _: None, "cannot-read"),
    ],
    ids=["empty", "intake", "binary", "directory", "link-circle", "pipe", "missing"],
)
def test_what_is_no_case_file_gives_one_clear_line(
    make: Callable[[Path], object], check_name: str, tmp_path: Path
) -> None:
    path = tmp_path / "van.yaml"
    make(path)
    for action in (
        lambda: casefile.read(path),
        lambda: casefile.verify(path),
        lambda: casefile.append(path, "note", {}, at(2)),
        lambda: casefile.mend_torn(path),
    ):
        with pytest.raises(BadInputError) as caught:
            action()
        (problem,) = caught.value.problems
        assert problem.check == check_name
        assert "\n" not in str(problem) and str(path) in str(problem)


def test_names_that_are_not_utf8_work_and_can_be_printed(tmp_path: Path) -> None:
    path = tmp_path / os.fsdecode(b"caf\xe9.yaml")
    write_case(path, 2)
    assert len(casefile.read(path)) == 2
    index = CaseIndex(tmp_path, tmp_path / ".home")
    index.refresh()
    assert [tmp_path / row.path for row in index.find()] == [path]
    path.write_bytes(path.read_bytes().replace(b"P0442", b"P0443"))
    with pytest.raises(DamagedRecordError) as caught:
        casefile.read(path)
    str(caught.value).encode("utf-8")
    assert "caf\\xe9.yaml" in str(caught.value)
