"""Where the rules, schemas and cases that come with the program lie."""

from __future__ import annotations

from pathlib import Path

from proveout.text.shipped import shipped_dir


def rules_dir() -> Path:
    """Return the directory of the shipped rules."""
    return shipped_dir("rules")


def schemas_dir() -> Path:
    """Return the directory of the JSON Schemas."""
    return shipped_dir("schemas")


def cases_dir() -> Path:
    """Return the directory of the shipped cases."""
    return shipped_dir("cases")
