"""Waiting for files to change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
    yield
    for _ in watch(
        *directories,
        watch_filter=lambda _change, path: path.lower().endswith((".yaml", ".yml")),
        raise_interrupt=True,
        step=50,
    ):
        yield
