"""What is kept for the next Tab: which words the commands take, and the names of the book."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from proveout.app.profile import layers_of, standing_file
from proveout.terminal.at_tab import GRAMMAR, NAMES_OF, SETTLED, home
from proveout.terminal.grammar import MAYBE, NONE, NOTHING, ONE, PATH, UNSURE, WORDS, Option, Takes, written
from proveout.terminal.tab_notes import below, write

if TYPE_CHECKING:
    from proveout.terminal.grammar import How

_PACKAGE = Path(__file__).resolve().parents[1]


def keep_grammar(command: click.Group) -> None:
    """Keep what a whole program takes, until its commands or click change."""
    rooms = [file for room in ("model", "terminal", "cli") for file in below(str(_PACKAGE / room))]
    write(home(), GRAMMAR, (*rooms, click.__file__), written("proveout", takes(command)))


def names_of(kind: str, named: tuple[Path, ...]) -> Mapping[str, str]:
    """Return the ids of a kind with their titles, and keep those of all kinds.

    Args:
        kind: see ``app.names``.
        named: the layers that the line names; where it names none, those settled are laid over the book.

    Raises:
        BadInputError: the rules cannot be used.
    """
    from proveout.app.names import every_name
    from proveout.app.places import open_book

    layers = layers_of(named)
    every = every_name(open_book(layers))
    made_from = list(_made_from(layers))
    first = SETTLED.join(map(str, named))
    for each, found in every.items():
        lines = (f"{key}\t{' '.join(title.split())}" for key, title in found.items())
        write(home(), NAMES_OF.format(each), made_from, (first, *lines))
    return every[kind]


def _made_from(layers: tuple[Path, ...]) -> Iterator[str]:
    """Return what the names come from: settings, code that reads a book, the rules, what lies over them."""
    from proveout.book.compiled.stamp import ROOMS
    from proveout.book.shipped import rules_dir, schemas_dir

    yield str(standing_file())
    for directory in (*(_PACKAGE / room for room in ROOMS), schemas_dir(), rules_dir(), *layers):
        yield from below(str(directory.absolute()))


def takes(command: click.Command, above: click.Context | None = None) -> Takes:
    """Return what a command takes, and all below it."""
    context = click.Context(command, info_name=command.name, parent=above)
    parameters = command.get_params(context)
    arguments = [one for one in parameters if isinstance(one, click.Argument)]
    inner = None
    if isinstance(command, click.Group):
        found = ((name, command.get_command(context, name)) for name in command.list_commands(context))
        inner = {name: takes(one, context) for name, one in found if one is not None and not one.hidden}
    made = Takes(
        command.get_short_help_str(),
        arguments=[_how(one, context) for one in arguments] if _are_in_turn(arguments) else None,
        is_endless=bool(arguments) and arguments[-1].nargs == -1,
        below=inner,
    )
    made.options += [_option(one, context) for one in parameters if isinstance(one, click.Option)]
    return made


def _are_in_turn(arguments: list[click.Argument]) -> bool:
    """Say whether each argument is one word, the last perhaps any number."""
    return all(one.nargs == 1 for one in arguments[:-1]) and all(one.nargs in (1, -1) for one in arguments)


def _option(option: click.Option, context: click.Context) -> Option:
    word = MAYBE if option._flag_needs_value else ONE  # click says it nowhere else
    needs = NONE if option.is_flag or option.count else word
    return Option(
        (*option.opts, *option.secondary_opts),
        _how(option, context) if option.nargs == 1 else (UNSURE,),
        option.help or "",
        takes=needs,
        is_shown=not option.hidden,
        is_many=option.multiple,
    )


def _how(parameter: click.Parameter, context: click.Context) -> How:
    """Say as data what completes a parameter: as it states itself, or by what its type offers."""
    stated = parameter._custom_shell_complete  # click says it nowhere else
    if stated is not None:
        return getattr(stated, "how", (UNSURE,))
    offered = parameter.type.shell_complete(context, parameter, "")
    if not offered:
        return (NOTHING,)
    if offered[0].type != "plain":
        return (PATH, offered[0].type)
    if not getattr(parameter.type, "case_sensitive", True):
        return (UNSURE,)
    return (WORDS, *(str(one.value) for one in offered))
