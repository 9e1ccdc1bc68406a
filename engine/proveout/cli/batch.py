"""``proveout batch``: triage many cases at once, as JSON lines."""

from __future__ import annotations

import json
import sys
from contextlib import closing
from pathlib import Path

import click

from proveout.app.working import hold, work
from proveout.terminal.common import DONE, FINDINGS, book_options, engine_option, open_book, say, tell
from proveout.terminal.words_given import FILE_NAME
from proveout.terminal.working import jobs_option, scheduler_option, watched


@click.command()
@click.argument("sources", metavar="SOURCE...", type=FILE_NAME, nargs=-1, required=True)
@book_options
@engine_option
@jobs_option
@scheduler_option
def command(
    sources: tuple[str, ...], layers: tuple[Path, ...], engine: str | None, jobs: int | None, scheduler: str
) -> int:
    """Triage many cases; print a JSON line for each, in the order in which they were given.

    SOURCE is a case file, an intake document, a directory (of which all YAML files are taken), or - for
    intake documents as JSON lines on standard input.

    A line names its source and holds the triage, or what is wrong with the case; a bad case stops no other.
    The exit code is 1 where there was one.

    \b
    proveout batch cases/ mycar.yaml > triage.jsonl
    """
    from proveout.app.batching import pieces, told, try_piece

    key = hold(open_book(layers), layers)
    every = pieces(sources, sys.stdin.buffer, key, engine)
    given = every if "-" in sources else list(every)
    length = len(given) if isinstance(given, list) else None
    bad = count = 0
    done = work(try_piece, given, jobs=jobs, scheduler=scheduler, length=length, watch=watched)
    with closing(done) as answers:
        for answer in answers:
            document = told(answer)
            count += 1
            bad += "problems" in document
            say(json.dumps(document, ensure_ascii=False))
    tell(f"{count} case{'' if count == 1 else 's'}, {bad} of them bad.")
    return FINDINGS if bad else DONE
