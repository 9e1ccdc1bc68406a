"""The manual: man pages made of the very text that ``--help`` shows.

Libraries that turn help into man pages keep neither blocks that click is told not to rewrap nor lines that
begin with a dot, and know a group's commands only where all are loaded; so the few requests are written here.
"""

from __future__ import annotations

from collections.abc import Iterator
from inspect import cleandoc

import click

#: How each page begins; a page is written over nothing else.
BEGINS = '.\\" proveout manual'
#: What click takes as the mark of a block that is not to be rewrapped.
_AS_IT_IS = "\b"


def pages(
    command: click.Command, version: str, name: str = "proveout", above: click.Context | None = None
) -> Iterator[tuple[str, str]]:
    """Return the name and the text of the page of a command and of all below it.

    Args:
        command: the whole program, or a part of it.
        version: stands at the foot.
        name: what it is typed as.
        above: of the group that holds it.
    """
    settings = command.context_settings
    context = click.Context(command, info_name=name, parent=above, **settings)
    yield context.command_path.replace(" ", "-"), page(context, version)
    for below, found in _below(context):
        yield from pages(found, version, below, context)


def page(context: click.Context, version: str) -> str:
    """Return the man page of the command of a context."""
    command, name = context.command, context.command_path
    title = name.replace(" ", "-")
    told, shown = _blocks(command)
    lines = [
        BEGINS,
        f'.TH "{title.upper()}" "1" "" "proveout {version}" "proveout"',
        ".SH NAME",
        f"{_plain(title)} \\- {_plain(command.get_short_help_str(limit=200))}",
        ".SH SYNOPSIS",
        f"\\fB{_plain(name)}\\fP {_plain(' '.join(command.collect_usage_pieces(context)))}",
        ".SH DESCRIPTION",
        *told,
    ]
    lines += [".SH EXAMPLES", *shown] if shown else []
    lines += [".SH OPTIONS", *_options(context)]
    below = [line for one, found in _below(context) for line in _listed(title, one, found)]
    lines += [".SH COMMANDS", *below] if below else []
    if context.parent is not None:
        lines += [".SH SEE ALSO", f"\\fB{_plain(context.parent.command_path.replace(' ', '-'))}\\fP(1)"]
    return "\n".join(lines) + "\n"


def _below(context: click.Context) -> Iterator[tuple[str, click.Command]]:
    group = context.command
    if isinstance(group, click.Group):
        for name in group.list_commands(context):
            found = group.get_command(context, name)
            assert found is not None
            yield name, found


def _listed(above: str, name: str, command: click.Command) -> list[str]:
    return [
        ".TP",
        f"\\fB{_plain(above)}\\-{_plain(name)}\\fP(1)",
        _plain(command.get_short_help_str(limit=200)),
    ]


def _blocks(command: click.Command) -> tuple[list[str], list[str]]:
    """Return what a help tells, and its examples: the blocks of which each line can be typed."""
    told: list[str] = []
    shown: list[str] = []
    for block in cleandoc(command.help or "").split("\n\n"):
        lines = block.strip("\n").split("\n")
        if lines[0].strip() != _AS_IT_IS:
            told += [".PP", *(_plain(line) for line in lines)]
            continue
        typed = all(line.startswith("proveout ") for line in lines[1:])
        (shown if typed else told).extend([".PP", ".nf", *(_plain(line) for line in lines[1:]), ".fi"])
    return told, shown


def _options(context: click.Context) -> Iterator[str]:
    for parameter in context.command.get_params(context):
        record = parameter.get_help_record(context)
        if record is not None and record[1]:
            yield from (".TP", f"\\fB{_plain(record[0])}\\fP", _plain(record[1]))


def _plain(text: str) -> str:
    """Return a text that asks nothing of the formatter."""
    escaped = text.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{escaped}" if escaped[:1] in (".", "'") else escaped
