"""``proveout rules new``: a new entry from options or answers, which passes the check at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

import click

from proveout.app.templates import TEMPLATES, Template
from proveout.terminal.common import DONE, at_terminal, book_options, tell

F = TypeVar("F", bound=Callable[..., Any])

#: Each answer with what it is, as the help and the question say it, and what is taken where nothing is said.
_ANSWERS = {
    "observe": ("What is weighed: code:P0442, symptom:ID, happens:ID or INSPECTION=RESULT.", ""),
    "cause": ("Id of the cause that it speaks for.", ""),
    "frequency": (
        "How often it is seen where the cause is present: a word of the scale or a number.",
        "often",
    ),
    "otherwise": ("How often where none of the named causes is present.", "0.01"),
    "row": ("The row that is replaced: code:P0442, symptom:ID, or INSPECTION=RESULT.", ""),
    "title": ("Title, as people would read it.", ""),
    "rate": ("Base rate: jobs with this cause in 1000 check-engine jobs.", "0.5"),
    "inspection": ("Id of the inspection whose limits are replaced.", ""),
    "engine": ("Engine that the figures hold for, in words.", ""),
    "result": ("Result that the limits are of.", ""),
    "limits": ("Limits with their unit, such as 380..420 kPa.", ""),
    "reference": ("The maker's document and page.", ""),
    "pattern": ("Pattern of the circuit.", "three-wire-sensor"),
    "say": ("What it is called within a sentence.", ""),
    "value": ("What the reader shows of it.", ""),
    "code": ("Trouble code of the circuit.", ""),
    "family": ("Family of that code.", ""),
}


def _answer_options(command: F) -> F:
    """Add an option for each answer."""
    for name, (what, default) in reversed(_ANSWERS.items()):
        shown = f"{what} Default: {default}." if default else what
        command = click.option(f"--{name}", metavar="TEXT", help=shown)(command)
    return command


@click.command()
@click.argument("name", metavar="ID")
@click.option(
    "--kind",
    type=click.Choice(list(TEMPLATES)),
    default="rule",
    show_default=True,
    help="A rule, a row in the place of one of the book, or a whole entry.",
)
@click.option(
    "--in",
    "directory",
    metavar="DIR",
    required=True,
    type=click.Path(path_type=Path),
    help="The directory of your own rules; made if it is not there.",
)
@book_options
@_answer_options
def command(name: str, kind: str, directory: Path, layers: tuple[Path, ...], **given: str | None) -> int:
    """Scaffold the entry ID in DIR, with examples; then check and try it.

    What an option does not say is asked for at a terminal. A new rule speaks for older vehicles instead of
    the book's general one, until you give it a context of your own; a cause comes with its component, an
    inspection that shows it and what brings it up.

    \b
    proveout rules new shop-old-cap --in my-rules --observe code:P0442 --cause filler-cap-seal-leaking
    """
    from proveout.app.scaffold import scaffold, target_of

    target_of(name, directory)
    template = TEMPLATES[kind]
    stray = [key for key in given if given[key] is not None and key not in template.asks + template.may_say]
    if stray:
        raise click.UsageError(f"--{stray[0]} says nothing of a new entry of the kind {kind}.")
    if at_terminal() and any(given[key] is None for key in template.asks):
        answers = _asked(template, directory, layers, given)
    else:
        answers = {key: _answer(key, given[key]) for key in template.asks}
    answers |= {key: said for key in template.may_say if (said := given[key]) is not None}
    made = scaffold(kind, name, directory, layers, answers)
    examples = len(made.outcomes)
    passes = (
        f", and so do its {examples} examples"
        if examples > 1
        else ", and so does its example"
        if examples
        else ""
    )
    tell(f"Wrote {made.path}; it passes{passes}. Edit its sentences and `source`, then:")
    tell(f"  proveout rules check {directory} && proveout rules test {directory}")
    if made.taken:
        tell(f"No rule says how often it is seen without its causes; {made.taken} was taken: put in yours.")
    return DONE


def _answer(key: str, given: str | None) -> str:
    """Return what was given, or else what goes without saying."""
    what, default = _ANSWERS[key]
    if given is None and not default:
        raise click.UsageError(f"--{key} is missing: {what}")
    return default if given is None else given


def _asked(
    template: Template, directory: Path, layers: tuple[Path, ...], given: Mapping[str, str | None]
) -> dict[str, str]:
    """Ask for what no option says; what cannot be used is asked for again at once."""
    from proveout.app.entry_answers import settled
    from proveout.app.scaffold import known_book
    from proveout.model.problem import BadInputError, WrongUsageError

    book, answers = known_book(directory, layers), dict[str, str]()

    def held(key: str, said: str) -> str:
        try:
            return settled(key, said, book, answers)
        except (BadInputError, WrongUsageError) as error:
            raise click.UsageError(str(error)) from error

    for key in template.asks:
        what, default = _ANSWERS[key]
        said = given[key]
        if said is None:
            said = click.prompt(what, default=default or None, err=True, value_proc=partial(held, key))
        answers[key] = held(key, said)
    return answers
