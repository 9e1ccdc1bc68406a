"""The lock of a file itself: it follows the file, not its name, and needs no other file beside it.

Whoever reaches a file through another directory, a link or another mount of the same disk meets the same
lock, and nobody has to be allowed to make files where it lies. The lock is advisory: only this program heeds
it.
"""

from __future__ import annotations

import sys
import time

#: Seconds between two tries.
_POLL = 0.005

if sys.platform == "win32":
    import msvcrt
    import os

    #: Where the locked byte lies: far beyond the end, so that the lock keeps nobody from reading.
    _BEYOND = 1 << 40

    def _try(fd: int, shared: bool) -> bool:  # noqa: ARG001  (there is one kind of lock only)
        at = os.lseek(fd, 0, os.SEEK_CUR)
        os.lseek(fd, _BEYOND, os.SEEK_SET)
        try:
            msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        finally:
            os.lseek(fd, at, os.SEEK_SET)
        return True
else:
    import fcntl

    def _try(fd: int, shared: bool) -> bool:
        try:
            fcntl.flock(fd, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def take(fd: int, timeout: float, *, shared: bool = False) -> bool:
    """Wait for the lock of an open file and say whether it was had; closing the file gives it back.

    Args:
        fd: the open file.
        timeout: seconds to wait for others.
        shared: readers may hold it together; a writer holds it alone.

    Raises:
        OSError: the file system has no locks.
    """
    end = time.monotonic() + timeout
    while not _try(fd, shared):
        if time.monotonic() >= end:
            return False
        time.sleep(_POLL)
    return True
