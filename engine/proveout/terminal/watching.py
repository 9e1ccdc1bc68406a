"""Waiting for files to change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

from proveout.model.problem import WrongUsageError


def each_change(directories: Sequence[Path]) -> Iterator[None]:
    """Yield once at the beginning, and again whenever a rule file below some directories changed.

    Changes within a twentieth of a second of each other, as an editor makes them, count as one.

    Raises:
        WrongUsageError: the library that watches is not installed, or a directory is missing.
    """
    try:
        from watchfiles import watch
    except ImportError:
        raise WrongUsageError("--watch needs the extra `watch`: pip install 'proveout[watch]'.") from None
    missing = [path for path in directories if not path.is_dir()]
    if missing:
        raise WrongUsageError(f"{missing[0]} is no directory that could be watched.")
    seen = _stamps(directories)
    yield
    # Also after a second of silence: what changed between the reading and the first watching is seen too.
    for _ in watch(*directories, raise_interrupt=True, step=50, rust_timeout=1000, yield_on_timeout=True):
        now = _stamps(directories)
        if now != seen:
            seen = now
            yield


def _stamps(directories: Sequence[Path]) -> dict[Path, tuple[int, int]]:
    """Return when each file of rules was last written, and how long it is."""
    found: dict[Path, tuple[int, int]] = {}
    for directory in directories:
        for path in directory.rglob("*"):
            if path.suffix.lower() in (".yaml", ".yml"):
                with suppress(OSError):
                    state = path.stat()
                    found[path] = state.st_mtime_ns, state.st_size
    return found
