"""Whole commands under faults of the system: every call to it, in whichever module, fails in its turn."""

from __future__ import annotations

import builtins
import errno
import io
import os
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, redirect_stdout, suppress
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import Answer, proveout

#: The calls by which something comes onto the disk, and the audit event or name of each.
CALLS = (
    "open",
    "write",
    "fsync",
    "link",
    "replace",
    "rename",
    "unlink",
    "mkdir",
    "rmdir",
    "ftruncate",
    "truncate",
)


class Killed(BaseException):
    """The process is gone: from here on no call of it has any effect, whatever still runs in the test."""


class SystemFault:
    """Calls to the system of which the ``nth`` does something else: it fails, or is interrupted.

    Only calls that write count: opening to read, and standard output, are left alone.
    """

    def __init__(
        self, name: str, nth: int, fault: Callable[[], BaseException], *, lasting: bool = False
    ) -> None:
        self.name, self.nth, self.fault, self.lasting = name, nth, fault, lasting
        self.count = 0
        self.failed: list[str] = []

    @contextmanager
    def installed(self) -> Iterator[None]:
        """Put the calls in the place of those of ``os`` meanwhile, wherever they are called from."""
        with pytest.MonkeyPatch.context() as patch:
            for name in CALLS:
                patch.setattr(os, name, self._watched(name, getattr(os, name)))
            patch.setattr(io, "open", self._watched("io.open", io.open))
            patch.setattr(builtins, "open", self._watched("io.open", builtins.open))
            yield

    def _watched(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            if self._counts(name, args):
                self.count += 1
                if self.count == self.nth or (self.failed and self.lasting):
                    self.failed.append(name)
                    raise self.fault()
            return real(*args, **kwargs)

        return call

    @staticmethod
    def _counts(name: str, args: Sequence[Any]) -> bool:
        if name == "open":
            return bool(args[1] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT))
        if name == "io.open":  # by a handle it was opened before
            return not isinstance(args[0], int) and len(args) > 1 and bool(set("wax+") & set(args[1]))
        if name in ("write", "fsync", "ftruncate"):
            return stat.S_ISREG(os.fstat(args[0]).st_mode)
        return True


def _error(number: int) -> Callable[[], BaseException]:
    return lambda: OSError(number, os.strerror(number))


#: Kinds of fault: one call fails; from one on the disk is full, or is read only, or belongs to somebody else;
#: somebody presses Ctrl-C; the process is killed.
FAULTS: Mapping[str, Callable[[int], SystemFault]] = {
    "once": lambda nth: SystemFault("once", nth, _error(errno.EIO)),
    "full": lambda nth: SystemFault("full", nth, _error(errno.ENOSPC), lasting=True),
    "read-only": lambda nth: SystemFault("read-only", nth, _error(errno.EROFS), lasting=True),
    "foreign": lambda nth: SystemFault("foreign", nth, _error(errno.EACCES), lasting=True),
    "interrupt": lambda nth: SystemFault("interrupt", nth, KeyboardInterrupt),
    "killed": lambda nth: SystemFault("killed", nth, Killed, lasting=True),
}


def kept_under(home: Path) -> dict[str, bytes]:
    """Return what every file below a directory holds."""
    files = (path for path in sorted(home.rglob("*")) if path.is_file())
    return {path.relative_to(home).as_posix(): path.read_bytes() for path in files}


#: Exit codes of what was done; a repair that is not confirmed yet, or a check that found something, gives 1.
DONE = (0, 1)
#: Exit code of what was done but could not be printed.
NO_OUTPUT = 74
#: What stands for the exit code of a process that was killed.
GONE = 137
#: Faults that differ from a full disk only in what is said of the first call.
ALIKE = frozenset({"read-only", "foreign"})
LASTING = tuple(kind for kind in FAULTS if kind not in ALIKE)


def every_fault(run: Callable[[int, SystemFault], bool], *, step: int = 1) -> None:
    """Call ``run`` with the 1st, 2nd, ... call failing until none is left, in each way.

    Args:
        run: does something under a fault, checks it, and gives whether a call failed.
        step: to let only every so many-th call fail; the kinds of fault take turns.
    """
    for start, kind in enumerate(FAULTS if step == 1 else LASTING):
        for nth in range(1 + start % step, 10_000, step):
            if not run(nth, FAULTS[kind](nth)):
                assert nth > 1, f"{kind}: no call was watched"
                break
            if kind in ALIKE:
                break


def under(fault: SystemFault, *words: object, home: Path, stdin: str = "") -> Answer:
    """Run a command under a fault and require what every command owes."""
    try:
        answer = proveout(*words, home=home, during=fault.installed(), stdin=stdin)
    except Killed:
        return Answer(GONE, "", "")
    assert answer.code in (*DONE, 3, 130), (fault.failed, answer)
    assert answer.code in DONE or answer.err.strip()
    assert "Traceback" not in answer.err and "Internal fault" not in answer.err
    return answer


@contextmanager
def full_output() -> Iterator[None]:
    """Let standard output be a device that is always full."""
    output = io.TextIOWrapper(Path("/dev/full").open("wb"), encoding="utf-8")  # noqa: SIM115 (it cannot be closed well)
    try:
        with redirect_stdout(output):
            yield
    finally:
        with suppress(OSError):
            output.close()
