"""Work spread over processes: the answers of a plain loop, in its order, whatever happens to a worker."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from helpers_spread import len_or_exit
from proveout.spread.order import Lost, in_order
from proveout.spread.processes import cores

PROGRAM = """
import time
from proveout.spread.order import in_order
if __name__ == "__main__":
    for answer in in_order(time.sleep, [60.0] * 8, jobs=2):
        pass
"""


def test_answers_come_in_the_order_of_the_items() -> None:
    items = list(range(40, 0, -1))
    assert list(in_order(str, items, jobs=2)) == list(in_order(str, items, jobs=1)) == [str(n) for n in items]


def test_items_are_taken_only_as_they_are_needed() -> None:
    taken: list[int] = []

    def source() -> Iterator[int]:
        for number in range(1000):
            taken.append(number)
            yield number

    with closing(in_order(str, source(), jobs=2)) as answers:
        assert next(answers) == "0"
    assert len(taken) < 20


def test_what_a_task_raises_ends_the_work() -> None:
    with pytest.raises(ValueError, match="invalid literal"):
        list(in_order(int, ["1", "x", "3"], jobs=2))


def test_an_item_that_ends_its_process_is_given_up_and_the_rest_goes_on() -> None:
    """``os._exit`` ends the process at once, as the system does to one that needs too much memory."""
    source = [("len", "ab"), ("exit", ""), ("len", "abc"), *[("len", "a" * n) for n in range(12)]]
    answers = list(in_order(len_or_exit, source, jobs=2))
    assert isinstance(answers[1], Lost) and answers[1].item == source[1]
    assert [answers[0], *answers[2:]] == [2, 3, *range(12)]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such signals")
def test_workers_end_with_their_parent(tmp_path: Path) -> None:
    """A parent that is killed can say nothing to its workers; they must notice, and quietly."""
    program = tmp_path / "program.py"
    program.write_text(PROGRAM, encoding="utf-8")
    with subprocess.Popen([sys.executable, program], stderr=subprocess.PIPE) as parent:
        workers = _children_of(parent.pid, 2)
        parent.send_signal(signal.SIGKILL)
    deadline = time.monotonic() + 20
    while any(_is_alive(pid) for pid in workers):
        assert time.monotonic() < deadline, workers
        time.sleep(0.05)


def _children_of(pid: int, least: int) -> list[int]:
    """Return the workers of a process once so many of them have begun."""
    listing = Path(f"/proc/{pid}/task/{pid}/children")
    if not listing.exists():
        pytest.skip("the system does not list the children of a process")
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline:
        names = [int(name) for name in listing.read_text().split()]
        found = [name for name in names if b"spawn_main" in Path(f"/proc/{name}/cmdline").read_bytes()]
        if len(found) >= least:
            return found
        time.sleep(0.05)
    raise AssertionError("no workers began")


def _is_alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().split()[2] not in ("Z", "X")
    except OSError:
        return False


def test_there_is_at_least_one_core() -> None:
    assert cores() >= 1
