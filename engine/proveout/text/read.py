"""Files and bytes to text, with limits and clear complaints."""

from __future__ import annotations

from pathlib import Path

from proveout.model.problem import BadInputError, Place, Problem

#: Largest file that is read, in bytes.
MAX_BYTES = 2 * 1024 * 1024


def read_text(path: Path, name: str | None = None) -> str:
    """Read a UTF-8 text file.

    Args:
        path: the file.
        name: what to call it in complaints; the path as given where left out.

    Raises:
        BadInputError: it is missing, no file, not readable, larger than ``MAX_BYTES`` or not UTF-8.
    """
    return decode(read_bytes(path, name), name or str(path))


def read_bytes(path: Path, name: str | None = None) -> bytes:
    """Read a file's bytes, at most ``MAX_BYTES``.

    Raises:
        BadInputError: it is missing, no file, not readable or larger than ``MAX_BYTES``.
    """
    place = Place(name or str(path))
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise _bad(place, "file-missing", "no such file", "a file", "check the name") from None
    except IsADirectoryError:
        raise _bad(place, "file-kind", "a directory", "a file", "name a file in it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _bad(
            place, "file-unreadable", f"cannot be read: {reason}", "", "check the name and rights"
        ) from None
    _keep_limit(data, place)
    return data


def decode(data: bytes, name: str) -> str:
    """Turn bytes into text; a byte order mark is dropped.

    Raises:
        BadInputError: more than ``MAX_BYTES``, or not UTF-8.
    """
    _keep_limit(data, Place(name))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = error.start - (data.rfind(b"\n", 0, error.start) + 1) + 1
        saw = f"byte 0x{data[error.start]:02x}, which is not UTF-8"
        raise _bad(
            Place(name, line, column), "not-utf8", saw, "UTF-8 text", "save the file as UTF-8"
        ) from None


def _keep_limit(data: bytes, place: Place) -> None:
    """Refuse more bytes than the limit."""
    if len(data) > MAX_BYTES:
        saw = f"more than {MAX_BYTES // 1024 // 1024} MiB"
        raise _bad(place, "file-size", saw, "a smaller file", "split it")


def _bad(place: Place, check: str, saw: str, expected: str, mend: str) -> BadInputError:
    """Make the complaint."""
    return BadInputError(Problem(place, check, saw, expected, mend))
