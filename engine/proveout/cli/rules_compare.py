"""``proveout rules compare``: which answers differ between two books."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, FINDINGS, json_option, say, say_json, tell
from proveout.terminal.words_given import FILE_NAME
from proveout.terminal.working import sample_options, watched


@click.command()
@click.argument("old", metavar="OLD", type=FILE_NAME)
@click.argument("new", metavar="NEW", type=FILE_NAME)
@click.option("--whole", is_flag=True, help="Directories hold whole books, not layers over the shipped one.")
@sample_options(draw=50)
@click.option(
    "--least",
    type=click.FloatRange(0, 1),
    default=0.02,
    show_default=True,
    help="Least move of a confidence that counts as a change.",
)
@click.option(
    "--expect",
    "expected",
    metavar="FILE",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="YAML: case, or *, to the kinds of change that are wanted.",
)
@click.option("--most", type=click.IntRange(1, 100_000), default=20, show_default=True, help="Changes shown.")
@click.option("--summary", is_flag=True, help="A table in Markdown, for a merge request.")
@json_option
def command(
    old: str,
    new: str,
    whole: bool,
    case_dirs: tuple[Path, ...],
    draw: int,
    seed: int,
    least: float,
    expected: Path | None,
    most: int,
    summary: bool,
    as_json: bool,
) -> int:
    """Try the books OLD and NEW on the same cases: which answers change, and by which rules.

    OLD and NEW are each `shipped`, a directory laid over the shipped book, REVISION:DIRECTORY of the git
    repository here, or the digest of a kept book. The cases are the shipped ones, those of --cases, and some
    drawn from OLD. Besides, each rule that may differ is asked with nothing but its own conditions, and
    each limit with a reading on either side of it: what by itself moves the odds of a cause by another
    factor of two is told. Exits with 1 where an answer changed that --expect does not list.

    \b
    proveout rules compare shipped my-rules
    proveout rules compare main:my-rules my-rules --summary
    """
    from proveout.app.comparing import book_at, sample, unexpected, wanted_changes
    from proveout.app.comparing import compare as compared
    from proveout.show.compared import compared_document, compared_summary, compared_text

    wanted = wanted_changes(expected) if expected else {}
    first, second = book_at(old, whole, tell), book_at(new, whole, tell)
    cases = sample(first, case_dirs, draw, seed)
    found = compared(first, second, cases, least=least, watch=watched)
    left = list(unexpected(found, wanted))
    if as_json:
        say_json(compared_document(found, left))
    else:
        say((compared_summary if summary else compared_text)(found, left, most))
    return FINDINGS if left else DONE
