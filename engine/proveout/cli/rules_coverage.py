"""``proveout rules coverage``: what examples and cases reach of a book."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, FINDINGS, json_option, open_book, say, say_json
from proveout.terminal.working import jobs_option, sample_options, watched


@click.command()
@click.argument("layers", metavar="[DIR]...", nargs=-1, type=click.Path(path_type=Path))
@sample_options(draw=0)
@click.option(
    "--least",
    type=click.FloatRange(0, 100),
    default=0.0,
    metavar="PERCENT",
    help="Exit with 1 where a smaller share of the rules speaks.",
)
@click.option("--most", type=click.IntRange(0, 100_000), default=20, show_default=True, help="Names shown.")
@jobs_option
@json_option
def command(
    layers: tuple[Path, ...],
    case_dirs: tuple[Path, ...],
    draw: int,
    seed: int,
    least: float,
    most: int,
    jobs: int | None,
    as_json: bool,
) -> int:
    """Say what examples and cases reach: rules that never speak, conditions seen one way only, causes.

    \b
    proveout rules coverage my-rules --draw 100
    """
    from proveout.app.covering import covered
    from proveout.show.covered import covered_document, covered_text
    from proveout.trial.coverage import share

    book = open_book(layers)
    found = covered(book, layers, case_dirs, draw, seed, jobs, watched)
    if as_json:
        say_json(covered_document(book, found))
    else:
        say(covered_text(book, found, most))
    return FINDINGS if share(book, found) * 100 < least else DONE
