"""Whole commands under faults of the system: every call to it, in whichever module, fails in its turn."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

#: The calls by which something comes onto the disk, and the audit event or name of each.
CALLS = ("open", "write", "fsync", "link", "replace", "rename", "unlink", "mkdir", "ftruncate")


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
        if name in ("write", "fsync", "ftruncate"):
            return stat.S_ISREG(os.fstat(args[0]).st_mode)
        return True


def _error(number: int) -> Callable[[], BaseException]:
    return lambda: OSError(number, os.strerror(number))


#: Kinds of fault: one call fails; from one on the disk is full, or is read only, or belongs to somebody else;
#: somebody presses Ctrl-C.
FAULTS: Mapping[str, Callable[[int], SystemFault]] = {
    "once": lambda nth: SystemFault("once", nth, _error(errno.EIO)),
    "full": lambda nth: SystemFault("full", nth, _error(errno.ENOSPC), lasting=True),
    "read-only": lambda nth: SystemFault("read-only", nth, _error(errno.EROFS), lasting=True),
    "foreign": lambda nth: SystemFault("foreign", nth, _error(errno.EACCES), lasting=True),
    "interrupt": lambda nth: SystemFault("interrupt", nth, KeyboardInterrupt),
}


def kept_under(home: Path) -> dict[str, bytes]:
    """Return what every file below a directory holds."""
    files = (path for path in sorted(home.rglob("*")) if path.is_file())
    return {path.relative_to(home).as_posix(): path.read_bytes() for path in files}
