"""What the commands share: options, loading the book and a case, printing, exit codes.

The help of the program needs this module and nothing else, so whatever takes long to import is imported where
it is used.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from pathlib import Path

    from proveout.model.book import Book

#: Exit codes, as the help and the README list them.
DONE, FINDINGS, USAGE, BAD_INPUT, DAMAGED, INTERNAL, NO_OUTPUT, STOPPED = 0, 1, 2, 3, 4, 70, 74, 130

F = TypeVar("F", bound=Callable[..., Any])

#: Whether this command has printed a JSON document; a further one for what went wrong would be one too many.
_said_json = False


def book_options(command: F) -> F:
    """Add ``--rules DIR`` (repeatable): layers laid over the shipped book."""
    from pathlib import Path

    option = click.option(
        "--rules",
        "layers",
        multiple=True,
        metavar="DIR",
        type=click.Path(path_type=Path),
        callback=_layers,
        help="Lay the rules of this directory over the book (repeatable; - for none, whatever stands in "
        "your standing.yaml).",
    )
    return option(command)


def _layers(ctx: click.Context, _param: click.Parameter, value: tuple[Path, ...]) -> tuple[Path, ...]:
    """Return the layers that were named, else those that the user has settled."""
    if ctx.resilient_parsing:
        return value
    from proveout.app.profile import layers_of

    return layers_of(value)


def _display(ctx: click.Context, _param: click.Parameter, value: str | None) -> str:
    """Return the units that were asked for, else those that the user has settled."""
    if value is not None or ctx.resilient_parsing:
        return value or "as-written"
    from proveout.app.profile import display_of

    return display_of()


def json_option(command: F) -> F:
    """Add ``--json``."""
    return click.option("--json", "as_json", is_flag=True, help="Print a JSON document instead of text.")(
        command
    )


def out_option(command: F) -> F:
    """Add ``--out``, a file to write to instead of printing."""
    from pathlib import Path

    return click.option(
        "--out",
        metavar="FILE",
        type=click.Path(path_type=Path, dir_okay=False),
        help="Write it there instead of printing it; an older one is replaced.",
    )(command)


def display_option(command: F) -> F:
    """Add ``--display``, which the environment variable ``PROVEOUT_DISPLAY`` sets beforehand."""
    return click.option(
        "--display",
        type=click.Choice(["as-written", "metric", "us"]),
        envvar="PROVEOUT_DISPLAY",
        callback=_display,
        help="Units that readings and limits are shown in; records and JSON never change. "
        "PROVEOUT_DISPLAY sets it for good.",
    )(command)


def engine_option(command: F) -> F:
    """Add ``--engine NAME``."""
    return click.option(
        "--engine",
        type=click.Choice(["durable", "reference"]),
        help="Which chainer to use (default: durable where it can be imported).",
    )(command)


def width() -> int:
    """Return the columns to write for: the terminal's, between 40 and 100."""
    from proveout.terminal.columns import columns

    return columns()


def say(text: str) -> None:
    """Write data to standard output; what would hide or move other characters is shown as an escape."""
    from proveout.text.visible import visible

    click.echo(visible(text))


def tell(text: str) -> None:
    """Write a message to standard error, in the same way."""
    from proveout.text.visible import visible

    click.echo(visible(text), err=True)


def say_json(document: dict[str, Any]) -> None:
    """Write a JSON document to standard output; in plain ASCII where the output is not UTF-8."""
    import codecs
    import json

    global _said_json
    _said_json = True
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    ascii_only = codecs.lookup(encoding).name != "utf-8"
    say(json.dumps(document, ensure_ascii=ascii_only, indent=2, allow_nan=False))


def begin_answer() -> None:
    """Forget what the command before has printed; a process may run several."""
    global _said_json
    _said_json = False


def has_said_json() -> bool:
    """Say whether a JSON document was printed since ``begin_answer``."""
    return _said_json


class Amount(click.FloatRange):
    """A finite number within bounds."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Return the number that was typed; what is not finite is wrong usage."""
        import math

        found: float = super().convert(value, param, ctx)
        if not math.isfinite(found):
            self.fail(f"{value!r} is no number.", param, ctx)
        return found


def open_book(layers: tuple[Path, ...], case: Path | str | None = None) -> Book:
    """Load the shipped book with layers over it, using the user's cache; messages go to standard error.

    Where a case is named whose last advice was given with another book, that is told.

    Raises:
        BadInputError: the rules cannot be used.
    """
    from proveout.app import places

    book = places.open_book(layers, tell)
    if case is not None and str(case) != "-":
        from pathlib import Path

        from proveout.app.last_book import other_book

        if told := other_book(Path(case), book):
            tell(told)
    return book


def at_terminal() -> bool:
    """Say whether questions can be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty()
