"""All files that are kept are read and written here: whole or not at all, and never one in another's place.

- A file that is made anew is written under a name that nobody can guess, which must not exist yet, and then
  takes its name only where nothing stands (``create``) or where an older one of the same kind does
  (``replace``). No link is followed, and what another program wrote is never written over.
- A file that grows is held by its own lock (``held``) from reading its end to waiting for the disk. An error
  leaves the old content; only a crash in the middle of an append can leave a torn tail, which the case file
  detects.

All system calls go through the one name ``os``, so that tests can make each of them fail.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from proveout.model.problem import BadInputError, Place, Problem
from proveout.record import lock
from proveout.record.written import WRITTEN

#: No case file, snapshot or overlay comes near this; a larger file is something else.
MAX_BYTES = 64 * 1024 * 1024

#: Directories are opened, files made and read with these where the system has them.
_CLOEXEC = getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
#: A pipe or a device must not keep anybody waiting.
_READ = os.O_RDONLY | _CLOEXEC | getattr(os, "O_NONBLOCK", 0)
_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _CLOEXEC | getattr(os, "O_NOFOLLOW", 0)

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
    errno.ENOLCK: "move it to a disk whose files can be locked",
    errno.EEXIST: "take another name",
}

#: Errors by which a file system says that it has no second names for one file.
_NO_LINKS = frozenset(
    {errno.EPERM, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK, errno.EINVAL}
)


def shown(path: Path) -> str:
    """Return the path as text that any terminal can print; bytes that are not UTF-8 become escapes."""
    return os.fsencode(path).decode("utf-8", "backslashreplace")


def refused(path: Path, doing: str, error: OSError) -> BadInputError:
    """Turn an error of the operating system into a located problem."""
    reason = os.strerror(error.errno) if error.errno else str(error)
    mend = _MENDS.get(error.errno or 0, "check the disk and run it again")
    saw = f"cannot {doing}: {reason}"
    return BadInputError(Problem(Place(shown(path)), f"cannot-{doing}", saw, mend=mend))


def read(path: Path) -> bytes:
    """Read a whole regular file.

    Raises:
        BadInputError: it is missing, no regular file, too large, or cannot be read.
    """
    try:
        fd = os.open(path, _READ)
        try:
            return _read_all(fd)
        finally:
            os.close(fd)
    except (OSError, ValueError) as error:
        raise _of_name(path, "read", error) from error


def _of_name(path: Path, doing: str, error: OSError | ValueError) -> BadInputError:
    """Turn an error of opening a file into a located problem; a name with a zero in it gives a ValueError."""
    return refused(path, doing, error if isinstance(error, OSError) else OSError(errno.EINVAL, ""))


def _read_all(fd: int) -> bytes:
    """Read an open file from its beginning, refusing what is no regular file or too large."""
    status = os.fstat(fd)
    if stat.S_ISDIR(status.st_mode):
        raise IsADirectoryError(errno.EISDIR, "")
    if not stat.S_ISREG(status.st_mode):
        raise OSError(errno.EINVAL, "")
    parts, size = [], 0
    os.lseek(fd, 0, os.SEEK_SET)
    while part := os.read(fd, 1 << 20):
        parts.append(part)
        size += len(part)
        if size > MAX_BYTES:
            raise OSError(errno.EFBIG, "")
    return b"".join(parts)


class Held:
    """A file whose lock is held: nobody else appends to it meanwhile."""

    def __init__(self, path: Path, fd: int) -> None:
        self._path = path
        self._fd = fd

    def read(self) -> bytes:
        """Read the whole file.

        Raises:
            BadInputError: it is no regular file, too large, or cannot be read.
        """
        try:
            return _read_all(self._fd)
        except OSError as error:
            raise refused(self._path, "read", error) from error

    def append(self, data: bytes) -> None:
        """Append ``data`` in one write and wait for the disk.

        Raises:
            BadInputError: it could not be written; the old content stands.
        """
        try:
            size = os.fstat(self._fd).st_size
            os.lseek(self._fd, size, os.SEEK_SET)
            try:
                _write_all(self._fd, data)
                os.fsync(self._fd)
            except BaseException:
                self._take_back(size)
                raise
        except OSError as error:
            raise refused(self._path, "write", error) from error
        WRITTEN.append(self._path)

    def _take_back(self, size: int) -> None:
        """Cut off what was appended; where the system refuses that too, it counts as written."""
        try:
            os.ftruncate(self._fd, size)
            os.fsync(self._fd)
        except OSError:
            with suppress(OSError):
                if os.fstat(self._fd).st_size > size:
                    WRITTEN.append(self._path)

    def shorten(self, size: int) -> None:
        """Cut the file to ``size`` bytes and wait for the disk.

        Raises:
            BadInputError: the system refused.
        """
        try:
            os.ftruncate(self._fd, size)
            os.fsync(self._fd)
        except OSError as error:
            raise refused(self._path, "write", error) from error
        WRITTEN.append(self._path)


@contextmanager
def held(path: Path, *, write: bool = True, timeout: float = 60.0) -> Iterator[Held]:
    """Hold the lock of an existing file; one writer at a time, across processes and names of the file.

    Args:
        path: the file; a link is followed.
        write: to change it; readers without the right to write hold it together.
        timeout: seconds to wait for others.

    Raises:
        BadInputError: it cannot be opened or locked, or is held longer than ``timeout``.
    """
    fd = _locked(path, write, timeout)
    try:
        yield Held(path, fd)
    finally:
        os.close(fd)


def _locked(path: Path, write: bool, timeout: float) -> int:
    """Open and lock a file; anew where another took its name while we waited."""
    while True:
        try:
            fd = os.open(path, (os.O_RDWR | _CLOEXEC | getattr(os, "O_NONBLOCK", 0)) if write else _READ)
        except (OSError, ValueError) as error:
            raise _of_name(path, _doing(error) if write else "read", error) from error
        try:
            if not lock.take(fd, timeout, shared=not write):
                raise _in_use(path, timeout)
            if os.path.samestat(os.fstat(fd), os.stat(path)):  # noqa: PTH116
                return fd
        except OSError as error:
            os.close(fd)
            raise refused(path, "lock", error) from error
        except BaseException:
            os.close(fd)
            raise
        os.close(fd)


def _doing(error: OSError | ValueError) -> str:
    """Say what an error of opening a file to write keeps us from: what is not there cannot be read either."""
    rights = (errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOSPC, errno.EDQUOT, errno.EIO)
    return "write" if isinstance(error, OSError) and error.errno in rights else "read"


def _in_use(path: Path, timeout: float) -> BadInputError:
    saw = f"another process has been writing it for {timeout:g} s"
    mend = "wait for it to end, or end it, and run this again"
    return BadInputError(Problem(Place(shown(path)), "in-use", saw, mend=mend))


def create(path: Path, data: bytes, *, private: bool = False) -> None:
    """Make a file that must not exist yet, whole or not at all; not even a link may stand there.

    Args:
        path: the file.
        data: its content.
        private: only its owner may read it.

    Raises:
        BadInputError: something stands there (``file-exists``), or it could not be written.
    """
    temp = _temporary(path, data, private)
    try:
        _name(temp, path, data, private)
    except FileExistsError as error:
        saw, mend = "something of that name is there", "take another name, or record into the case there"
        raise BadInputError(Problem(Place(shown(path)), "file-exists", saw, mend=mend)) from error
    except OSError as error:
        raise refused(path, "write", error) from error
    finally:
        with suppress(OSError):
            os.unlink(temp)  # noqa: PTH108
    WRITTEN.append(path)
    _sync_directory(path.parent)


def _name(temp: Path, path: Path, data: bytes, private: bool) -> None:
    """Return a new file its name, which must be free; where there are no second names, write it there."""
    try:
        os.link(temp, path)
    except FileExistsError:
        raise
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        _write_new(path, data, private)


def replace(path: Path, data: bytes, begins: bytes) -> None:
    """Put ``data`` in the place of an older file of the same kind, or where nothing was.

    Args:
        path: the file.
        data: its new content.
        begins: how files of this kind begin; anything else that stands there is left alone.

    Raises:
        BadInputError: another kind of file or a link stands there (``other-file``), or it could not be
            written; the old content stands.
    """
    _refuse_others(path, begins)
    temp = _temporary(path, data)
    try:
        os.replace(temp, path)  # noqa: PTH105
    except BaseException as error:
        with suppress(OSError):
            os.unlink(temp)  # noqa: PTH108
        if isinstance(error, OSError):
            raise refused(path, "write", error) from error
        raise
    WRITTEN.append(path)
    _sync_directory(path.parent)


def _refuse_others(path: Path, begins: bytes) -> None:
    """Refuse to write over what is no file of the kind that begins so; an empty file is nobody's loss."""
    try:
        status = os.lstat(path)
    except FileNotFoundError:
        return
    except (OSError, ValueError) as error:
        raise _of_name(path, "write", error) from error
    if stat.S_ISLNK(status.st_mode):
        saw = "a link, which is not followed"
    elif not stat.S_ISREG(status.st_mode):
        saw = "something there that is no file"
    elif status.st_size and not read(path).startswith(begins):
        saw = "a file of another kind, which is not written over"
    else:
        return
    expected = f"a free name, or a file that begins with {begins.decode('utf-8', 'replace').strip()!r}"
    raise BadInputError(Problem(Place(shown(path)), "other-file", saw, expected, "take another name"))


def _temporary(path: Path, data: bytes, private: bool = False) -> Path:
    """Write ``data`` beside a file under a name that nobody can guess, and give that name.

    Raises:
        BadInputError: it could not be written; nothing is left.
    """
    try:
        temp = path.with_name(f".{path.name[:100]}.{os.urandom(8).hex()}.new")
        _write_new(temp, data, private)
    except (OSError, ValueError) as error:
        raise _of_name(path, "write", error) from error
    return temp


def _write_new(path: Path, data: bytes, private: bool) -> None:
    """Write a file that must not exist; nothing of it is left where that fails."""
    fd = os.open(path, _NEW, 0o600 if private else 0o666)
    try:
        if not private:
            _share(fd, path.parent)
        _write_all(fd, data)
        os.fsync(fd)
    except BaseException:
        with suppress(OSError):
            os.unlink(path)  # noqa: PTH108
        raise
    finally:
        os.close(fd)


def _share(fd: int, directory: Path) -> None:
    """Let the group write where the directory was made for a group, which it hands down."""
    shared = stat.S_ISGID | stat.S_IWGRP
    if hasattr(os, "fchmod") and os.stat(directory).st_mode & shared == shared:  # noqa: PTH116
        with suppress(OSError):
            os.fchmod(fd, stat.S_IMODE(os.fstat(fd).st_mode) | stat.S_IRGRP | stat.S_IWGRP)


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
    WRITTEN[:] = [written for written in WRITTEN if written != path]


def make_directory(path: Path) -> None:
    """Make a directory and those above it; it may exist.

    Raises:
        BadInputError: the system refused, or a file stands there.
    """
    try:
        os.makedirs(path, exist_ok=True)  # noqa: PTH103
    except (OSError, ValueError) as error:
        raise _of_name(path, "write", error) from error


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
