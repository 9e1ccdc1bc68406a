"""Books known to be clean: a directory of digests, so that an unchanged book is not checked again."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from proveout import __version__
from proveout.book.files import Source
from proveout.text.shipped import shipped_dir

_PACKAGE = Path(__file__).resolve().parent.parent


def key_of(sources: Sequence[Source]) -> str:
    """Give a digest of the files' names and bytes, the schemas and the program that checks them."""
    digest = hashlib.sha256(__version__.encode())
    program = [
        path
        for room in ("model", "readiness", "measure", "text", "book")
        for path in (_PACKAGE / room).rglob("*.py")
    ]
    for path in sorted(program) + sorted(shipped_dir("schemas").glob("*.json")):
        digest.update(hashlib.sha256(path.read_bytes()).digest())
    for source in sources:
        for part in (source.layer.encode(), source.name.encode(), source.data):
            digest.update(hashlib.sha256(part).digest())
    return digest.hexdigest()


def is_known(cache: Path | None, key: str) -> bool:
    """Say whether the book of that key was found clean before."""
    return cache is not None and (cache / f"{key}.clean").is_file()


def remember(cache: Path | None, key: str) -> None:
    """Note that the book of that key is clean; a cache that cannot be written is done without."""
    if cache is not None:
        with suppress(OSError):
            cache.mkdir(parents=True, exist_ok=True)
            (cache / f"{key}.clean").touch()
