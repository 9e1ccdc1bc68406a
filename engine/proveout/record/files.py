"""All writing to disk goes through here: replace a file whole, or append to it, all or nothing.

A writer holds the lock of the directory (``locked``), so that names of temporary files can be fixed: one
left behind by a crash is overwritten by the next writer instead of piling up. An error leaves the old
content; only a crash in the middle of an append can leave a torn tail, which the case file detects.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filelock import FileLock, Timeout

from proveout.model.problem import BadInputError, Place, Problem

#: One lock for all files of a directory: it stays in place, as removing it would split those waiting.
LOCK_NAME = ".proveout.lock"

#: No case file, snapshot or overlay comes near this; a larger file is something else.
MAX_BYTES = 64 * 1024 * 1024

_CLOEXEC = getattr(os, "O_CLOEXEC", 0)

_MENDS = {
    errno.ENOSPC: "make room on the disk and run it again",
    errno.EDQUOT: "make room in the quota and run it again",
    errno.EROFS: "write to a directory that is not read-only",
    errno.EACCES: "check who may write there",
    errno.EPERM: "check who may write there",
    errno.EISDIR: "name a file, not a directory",
    errno.ENOENT: "check the name and the directory",
    errno.ENOTDIR: "check the name; a part of it is no directory",
    errno.ELOOP: "check the links; they go in a circle",
    errno.ENAMETOOLONG: "take a shorter name",
}


def shown(path: Path) -> str:
    """Give the path as text that any terminal can print; bytes that are not UTF-8 become escapes."""
    return os.fsencode(path).decode("utf-8", "backslashreplace")


def refused(path: Path, doing: str, error: OSError) -> BadInputError:
    """Turn an error of the operating system into a located problem."""
    reason = os.strerror(error.errno) if error.errno else str(error)
    mend = _MENDS.get(error.errno or 0, "check the disk and run it again")
    saw = f"cannot {doing}: {reason}"
    return BadInputError(Problem(Place(shown(path)), f"cannot-{doing}", saw, mend=mend))


@contextmanager
def locked(directory: Path, timeout: float = 60.0) -> Iterator[None]:
    """Hold the directory's lock; one writer at a time, across processes.

    Args:
        directory: it must exist.
        timeout: seconds to wait for another writer.

    Raises:
        BadInputError: the lock cannot be made, or is held longer than ``timeout``.
    """
    if not directory.is_dir():  # the lock would make it
        raise refused(directory, "lock", OSError(errno.ENOTDIR if directory.exists() else errno.ENOENT, ""))
    lock = FileLock(directory / LOCK_NAME, timeout=timeout)
    try:
        lock.acquire(poll_interval=0.005)
    except Timeout as error:
        saw = f"another process has been writing here for {timeout:g} s"
        mend = "wait for it to end, or end it, and run this again"
        raise BadInputError(Problem(Place(shown(directory)), "in-use", saw, mend=mend)) from error
    except OSError as error:
        raise refused(directory, "lock", error) from error
    try:
        yield
    finally:
        lock.release()


def read(path: Path) -> bytes:
    """Read a whole regular file.

    Raises:
        BadInputError: it is missing, no regular file, too large, or cannot be read.
    """
    try:
        status = os.stat(path)  # noqa: PTH116  (all system calls go through one name, so that tests can fail them)
        if stat.S_ISDIR(status.st_mode):
            raise IsADirectoryError(errno.EISDIR, "")
        if not stat.S_ISREG(status.st_mode):
            raise OSError(errno.EINVAL, "")
        if status.st_size > MAX_BYTES:
            raise OSError(errno.EFBIG, "")
        return _read_all(path)
    except OSError as error:
        raise refused(path, "read", error) from error


def _read_all(path: Path) -> bytes:
    fd = os.open(path, os.O_RDONLY | _CLOEXEC)
    parts = []
    try:
        while part := os.read(fd, 1 << 20):
            parts.append(part)
    finally:
        os.close(fd)
    return b"".join(parts)


def replace(path: Path, data: bytes) -> None:
    """Put ``data`` in place of the file (or where none was), whole; the caller holds the lock.

    A link is followed, so that it still points to the file afterwards.

    Raises:
        BadInputError: it could not be written; the old content stands.
    """
    path = Path(os.path.realpath(path))
    temp = path.with_name(f".{path.name}.new")
    try:
        _write_new(temp, data)
        os.replace(temp, path)  # noqa: PTH105
    except BaseException as error:
        with suppress(OSError):
            os.unlink(temp)  # noqa: PTH108
        if isinstance(error, OSError):
            raise refused(path, "write", error) from error
        raise
    _sync_directory(path.parent)


def _write_new(path: Path, data: bytes) -> None:
    fd = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | _CLOEXEC, 0o666)
    try:
        _write_all(fd, data)
        os.fsync(fd)
    finally:
        os.close(fd)


def append(path: Path, data: bytes) -> None:
    """Append ``data`` to an existing file and wait for the disk; the caller holds the lock.

    Raises:
        BadInputError: it could not be written; the old content stands.
    """
    try:
        fd = os.open(path, os.O_WRONLY | os.O_APPEND | _CLOEXEC)
    except OSError as error:
        raise refused(path, "write", error) from error
    try:
        size = os.fstat(fd).st_size
        try:
            _write_all(fd, data)
            os.fsync(fd)
        except BaseException:
            with suppress(OSError):
                os.ftruncate(fd, size)
                os.fsync(fd)
            raise
    except OSError as error:
        raise refused(path, "write", error) from error
    finally:
        os.close(fd)


def shorten(path: Path, size: int) -> None:
    """Cut the file to ``size`` bytes and wait for the disk; the caller holds the lock.

    Raises:
        BadInputError: the system refused.
    """
    try:
        fd = os.open(path, os.O_WRONLY | _CLOEXEC)
        try:
            os.ftruncate(fd, size)
            os.fsync(fd)
        finally:
            os.close(fd)
    except OSError as error:
        raise refused(path, "write", error) from error


def remove(path: Path) -> None:
    """Remove a file that can be made again; it may be missing.

    Raises:
        BadInputError: the system refused.
    """
    try:
        os.unlink(path)  # noqa: PTH108
    except FileNotFoundError:
        return
    except OSError as error:
        raise refused(path, "remove", error) from error


def make_directory(path: Path) -> None:
    """Make a directory and those above it; it may exist.

    Raises:
        BadInputError: the system refused, or a file stands there.
    """
    try:
        os.makedirs(path, exist_ok=True)  # noqa: PTH103
    except OSError as error:
        raise refused(path, "write", error) from error


def _write_all(fd: int, data: bytes) -> None:
    """Write everything: one call, unless the system takes only a part of it."""
    view = memoryview(data)
    while view:
        written = os.write(fd, view)
        view = view[written:]


def _sync_directory(path: Path) -> None:
    """Wait until the directory's entry is on the disk too; systems that cannot do so need not."""
    if os.name == "nt":
        return
    try:
        fd = os.open(path, os.O_RDONLY | _CLOEXEC)
        try:
            os.fsync(fd)
        finally:
            os.close(fd)
    except OSError as error:
        raise refused(path, "confirm", error) from error
