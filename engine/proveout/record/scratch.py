"""A directory of one's own for what is needed only for a moment."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from proveout.record.files import refused
from proveout.record.written import WRITTEN


@contextmanager
def scratch() -> Iterator[Path]:
    """Open a directory that nobody else can read and that goes at the end, as far as the system lets it.

    Raises:
        BadInputError: the system refused it, or something that was to be written there.
    """
    where = Path(tempfile.gettempdir() if tempfile.tempdir else "(temporary directory)")
    try:
        with tempfile.TemporaryDirectory(prefix="proveout-", ignore_cleanup_errors=True) as home:
            where = Path(home)
            yield where
            WRITTEN[:] = [path for path in WRITTEN if not path.is_relative_to(where)]
    except BrokenPipeError:
        raise
    except OSError as error:
        if error.filename is not None and not Path(str(error.filename)).is_relative_to(where):
            raise
        raise refused(where, "write", error) from error
