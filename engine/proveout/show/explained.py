"""The page of a check as text."""

from __future__ import annotations

from collections.abc import Mapping

from proveout.book.checks.page import Page
from proveout.show.figures import wrapped


def page_text(name: str, page: Page, width: int = 80) -> str:
    """Return a page: the check, why it complains, what it complains of and what passes."""
    lines = [name, "", *wrapped(page.why, width)]
    if page.bad:
        lines += ["", *wrapped(page.bad, width, "refused: ", "         ")]
    if page.good:
        lines += wrapped(page.good, width, "passes:  ", "         ")
    return "\n".join(lines)


def pages_text(pages: Mapping[str, Page], width: int = 80) -> str:
    """Return all checks by name, each with the first sentence of its page."""
    lines: list[str] = []
    for name, page in sorted(pages.items()):
        first = page.why.partition(". ")[0].rstrip(".")
        lines += wrapped(f"{first}.", width, f"{name:<24} ", " " * 25)
    return "\n".join(lines)
