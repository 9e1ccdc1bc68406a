"""Words of a command line must be text; only names of files may be bytes that no text has.

The system hands over bytes. What is no UTF-8 would come as half of a pair of characters, which can neither be
kept nor printed: it is refused at the door, before any command sees it.
"""

from __future__ import annotations

from typing import Any

import click

#: A name of a file that may be ``-``, as the word that was typed; whether it can be read shows when it is.
FILE_NAME = click.Path(readable=False)


class _Text(click.types.StringParamType):
    """Text that can be kept: nothing in it stands for a byte that is none."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        found = super().convert(value, param, ctx)
        try:
            found.encode("utf-8")
        except UnicodeEncodeError:
            self.fail(f"'{found.encode('utf-8', 'backslashreplace').decode()}' is no UTF-8 text.", param, ctx)
        return found


_TEXT = _Text()


class _Name(click.Path):
    """A name of a file or directory: an empty word names none, though to Python it is this directory."""

    def __init__(self, plain: click.Path) -> None:
        self.__dict__.update(plain.__dict__)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value in ("", b""):
            self.fail("The name is empty.", param, ctx)
        return super().convert(value, param, ctx)


def require_text(command: click.Command) -> click.Command:
    """Let a command, and those below it, refuse words that are no text or no name; give the same command."""
    for parameter in command.params:
        if parameter.type is click.STRING:
            parameter.type = _TEXT
        elif isinstance(parameter.type, click.Path) and not isinstance(parameter.type, _Name):
            parameter.type = _Name(parameter.type)
    for below in command.commands.values() if isinstance(command, click.Group) else ():
        require_text(below)
    return command
