"""The shipped book and cases, loaded once for all tests that use them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from proveout.book import cases_dir, load_book
from proveout.model.book import Book


@cache
def shipped_book() -> Book:
    """Give the shipped book."""
    return load_book()


@cache
def shipped_cases() -> tuple[Path, ...]:
    """Give the files of the shipped cases, sorted."""
    return tuple(sorted(cases_dir().rglob("*.yaml")))
