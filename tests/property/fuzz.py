"""The long run: attacks every target with mutated inputs and keeps what broke a promise in ``corpus/``.

Run: ``nice -n 19 python tests/property/fuzz.py [--inputs 200000] [--target NAME ...] [--seed 1]
[--memory 1024] [--seconds 5]`` with ``tests`` and ``engine`` on the path; an hour or two. A target gets its
share of the inputs by what a call costs. Guided by coverage: an input that reaches a line of the program that
none before it reached joins those that are mutated further. With the extra ``fuzz``, which has the library
``atheris``, ``--atheris NAME`` gives one target to it instead.
"""

from __future__ import annotations

import argparse
import hashlib
import math
import random
import resource
import signal
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

import proveout
from helpers_mutate import mutated, mutated_json
from helpers_targets import TARGETS

CORPUS = Path(__file__).parent / "corpus"
PROGRAM = str(Path(proveout.__file__).parent)


#: A function is watched line by line in its first calls and in every so many-th later.
FIRST_CALLS, EVERY = 100, 64
#: Of the inputs every so many-th is watched; the others take a fraction of the time.
WATCHED = 4


class Lines:
    """Lines of the program that were reached."""

    def __init__(self) -> None:
        self.seen: set[tuple[CodeType, int]] = set()
        self._calls: dict[CodeType, int] = {}

    @contextmanager
    def watched(self) -> Iterator[None]:
        """Watch what runs meanwhile."""
        sys.settrace(self._call)
        try:
            yield
        finally:
            sys.settrace(None)

    def _call(self, frame: FrameType, _event: str, _: Any) -> Any:
        code = frame.f_code
        count = self._calls[code] = self._calls.get(code, 0) + 1
        if (count > FIRST_CALLS and count % EVERY) or not code.co_filename.startswith(PROGRAM):
            return None
        return self._line

    def _line(self, frame: FrameType, event: str, _: Any) -> Any:
        if event == "line":
            self.seen.add((frame.f_code, frame.f_lineno))
        return self._line


class TooLongError(BaseException):
    """An input took longer than it may; nothing that catches exceptions catches it."""


def _too_long(*_: object) -> None:
    raise TooLongError("took longer than it may")


def attack(name: str, inputs: int, seed: int, seconds: int, memory: int) -> int:
    """Attack one target, print its figures, and give how many inputs broke a promise."""
    target = TARGETS[name]
    dice, lines = random.Random(f"{seed} {name}"), Lines()
    pool = [*target.seeds(), *(path.read_bytes() for path in sorted((CORPUS / name).glob("*")))]
    change = mutated_json if target.is_json else mutated
    refused = broken = 0
    slowest, start = 0.0, time.perf_counter()
    for number in range(inputs):
        data = pool[number] if number < len(pool) else change(dice.choice(pool), dice)
        before, began = len(lines.seen), time.perf_counter()
        allowed = seconds if number else 600  # the first one compiles the book
        is_watched = number < len(pool) or number % WATCHED == 0
        fault = _fault(target.attack, data, lines if is_watched else None, allowed)
        slowest = max(slowest, time.perf_counter() - began if number else 0.0)
        if isinstance(fault, bool):
            refused += fault
        else:
            broken += _keep(name, data, fault)
        if len(lines.seen) > before and number >= len(pool) and len(data) < 200_000:
            pool.append(data)
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    took = time.perf_counter() - start
    print(
        f"{name:<12} {inputs:>8} inputs {refused:>8} refused {broken:>4} broken {len(pool):>6} kept "
        f"{len(lines.seen):>6} lines reached  slowest {slowest:.2f} s  {used:.0f} MiB  {took:.0f} s",
        flush=True,
    )
    if used > memory:
        print(f"{name}: more than {memory} MiB")
    return broken + (used > memory)


def _fault(
    target: Callable[[bytes], bool], data: bytes, lines: Lines | None, seconds: int
) -> bool | BaseException:
    """Return whether the input was refused, or the exception that breaks a promise.

    Time is that of the processor, which other programs do not lengthen; what seems to take too long is tried
    once more without being watched, which lengthens it.
    """
    try:
        signal.setitimer(signal.ITIMER_VIRTUAL, 2 * seconds)
        with lines.watched() if lines else nullcontext():
            return bool(target(data))
    except TooLongError:
        try:
            signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
            return bool(target(data))
        except (Exception, SystemExit, TooLongError) as error:
            return error
    except (Exception, SystemExit) as error:
        return error
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def _keep(name: str, data: bytes, fault: BaseException) -> int:
    """Keep an input that broke a promise for the tests, and print why."""
    home = CORPUS / name
    home.mkdir(parents=True, exist_ok=True)
    path = home / hashlib.sha256(data).hexdigest()[:16]
    path.write_bytes(data)
    where = traceback.extract_tb(fault.__traceback__)[-1]
    print(f"{name}: {type(fault).__name__}: {str(fault)[:200]} ({where.filename}:{where.lineno})")
    return 1


def with_atheris(name: str, arguments: list[str]) -> None:
    """Hand one target to ``atheris``; further arguments go to it, such as ``-runs=100000``."""
    import atheris  # type: ignore[import-untyped, import-not-found, unused-ignore]

    target = TARGETS[name]
    home = CORPUS / name
    home.mkdir(parents=True, exist_ok=True)
    begin = Path(sys.argv[0]).parent / ".fuzz" / name
    begin.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(target.seeds()):
        (begin / f"seed-{number}").write_bytes(data)
    atheris.instrument_all()
    atheris.Setup(
        [sys.argv[0], str(begin), str(home), f"-artifact_prefix={home}/", *arguments], target.attack
    )
    atheris.Fuzz()


def main() -> int:
    """Read the command line and attack."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--inputs", type=int, default=200_000, help="inputs in all")
    parser.add_argument("--target", action="append", choices=sorted(TARGETS), help="only these")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=int, default=5, help="longest time for one input")
    parser.add_argument("--memory", type=int, default=1024, help="MiB")
    parser.add_argument("--atheris", metavar="NAME", choices=sorted(TARGETS))
    given, rest = parser.parse_known_args()
    if given.atheris:
        with_atheris(given.atheris, rest)
        return 0
    signal.signal(signal.SIGVTALRM, _too_long)
    names = given.target or list(TARGETS)
    shares = {name: TARGETS[name].share for name in names}
    each = {name: math.ceil(given.inputs * share / sum(shares.values())) for name, share in shares.items()}
    return min(1, sum(attack(name, each[name], given.seed, given.seconds, given.memory) for name in names))


if __name__ == "__main__":
    sys.exit(main())
