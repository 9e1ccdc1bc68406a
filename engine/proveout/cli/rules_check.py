"""``proveout rules check``: what is wrong with rules, for people and for programs; mends what is safe."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from proveout.terminal.common import DONE, FINDINGS, json_option, say, say_json, tell, width

if TYPE_CHECKING:
    from proveout.app.checking import Checked


@click.command()
@click.argument("layers", metavar="[DIR]...", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "sarif", "junit"]),
    default="text",
    show_default=True,
    help="Text for people; a JSON document, SARIF 2.1.0 or JUnit XML for programs.",
)
@json_option
@click.option(
    "--most",
    type=click.IntRange(1, 100_000),
    default=5,
    show_default=True,
    help="Findings of one check in one file that the text shows; the rest is counted.",
)
@click.option(
    "--fix",
    is_flag=True,
    help="Mend in the DIRs what needs no judgement: names of files and keys, codes in small letters, ranges "
    "the wrong way round, words said twice.",
)
@click.option("--watch", is_flag=True, help="Check again whenever a file changes; needs the extra `watch`.")
def command(layers: tuple[Path, ...], form: str, as_json: bool, most: int, fix: bool, watch: bool) -> int:
    """Check the shipped book with the directories DIR laid over it; all findings in one run.

    Exits with 1 where there are findings, warnings included.

    \b
    proveout rules check my-rules
    proveout rules check my-rules --format sarif > findings.sarif
    """
    from proveout.app.checking import checked

    if fix and not layers:
        raise click.UsageError("--fix mends directories of yours: name them.")
    if watch:
        return _watch(layers, fix, most)
    if fix:
        from proveout.app.fixing import fixed

        done, found = fixed(layers)
        _tell_fixed(done)
    else:
        found = checked(layers)
    _give(found, "json" if as_json else form, most)
    return FINDINGS if found.problems else DONE


def _tell_fixed(done: tuple[object, ...]) -> None:
    for problem in done:
        tell(f"Mended: {problem}")


def _give(found: Checked, form: str, most: int) -> None:
    """Print the findings in one of the forms."""
    from proveout.book.checks import PAGES
    from proveout.show.findings import counted, findings_text
    from proveout.show.junit import junit_text
    from proveout.show.sarif import sarif_document
    from proveout.text.complaints import problems_document

    if form == "json":
        say_json(problems_document(found.problems))
    elif form == "sarif":
        say_json(sarif_document(found.problems, found.lines, PAGES))
    elif form == "junit":
        say(junit_text(found.problems, found.files))
    else:
        if found.problems:
            say(findings_text(found.problems, found.lines, most, width()))
        tell(counted(found.problems))


def _watch(layers: tuple[Path, ...], fix: bool, most: int) -> int:
    """Check once, and again after each change, until stopped from the keyboard."""
    from proveout.app.checking import checked
    from proveout.app.fixing import fixed
    from proveout.book.shipped import rules_dir
    from proveout.terminal.watching import each_change

    for _ in each_change(layers or (rules_dir(),)):
        done, found = fixed(layers) if fix else ((), checked(layers))
        _tell_fixed(done)
        _give(found, "text", most)
        tell("Waiting for a change; Ctrl-C ends.")
    return DONE
