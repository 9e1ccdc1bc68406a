"""Puts pages before whoever looks: in colour at a terminal, through the pager where they are long."""

from __future__ import annotations

import os
import sys

import click

from proveout.show.page import BAD, DIM, GOOD, HEAD, TYPED, WARN, Page
from proveout.terminal.common import say
from proveout.text.visible import visible

#: How the roles of a page look. A colour only repeats what a word says.
_STYLES = {
    HEAD: "bold",
    GOOD: "green",
    BAD: "bold red",
    WARN: "yellow",
    DIM: "dim",
    TYPED: "cyan",
}


def coloured() -> bool:
    """Say whether standard output is a terminal that is to have colour."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return not plain and sys.stdout.isatty()


def show(page: Page) -> None:
    """Write a page to standard output; at a terminal with colour, and by the pager where it is longer."""
    text = inked(page) if coloured() else visible(page.text())
    if _is_long(len(page.lines)):
        click.echo_via_pager(text + "\n", color=coloured())
    else:
        click.echo(text, color=coloured())


def show_text(text: str) -> None:
    """Write a text without roles to standard output, by the pager where a terminal has fewer lines."""
    if _is_long(text.count("\n") + 1):
        click.echo_via_pager(visible(text) + "\n")
    else:
        say(text)


def inked(page: Page) -> str:
    """Return a page with the colours of its roles, as a terminal takes them."""
    from rich.console import Console
    from rich.text import Text

    console = Console(
        color_system="standard", force_terminal=True, width=1000, legacy_windows=False, highlight=False
    )
    with console.capture() as captured:
        for line in page.lines:
            parts = [(visible(text), _STYLES.get(role, "")) for role, text in line]
            console.print(Text.assemble(*parts), soft_wrap=True)
    return captured.get().rstrip("\n")


def _is_long(lines: int) -> bool:
    """Say whether so many lines would run off the terminal, and somebody is there to turn pages."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()) or os.environ.get("TERM") == "dumb":
        return False
    import shutil  # which takes longer to load than most pages take to write

    return lines >= shutil.get_terminal_size((80, 24)).lines
