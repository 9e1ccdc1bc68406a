"""``proveout manual``: man pages of the same text as the help."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import say, tell


@click.command()
@click.argument("command_name", metavar="[COMMAND]...", nargs=-1)
@click.option(
    "--into",
    "directory",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Write the pages of all commands into this directory, instead of printing one.",
)
def command(command_name: tuple[str, ...], directory: Path | None) -> None:
    """Print the man page of a command, or of the whole program; it says what --help says.

    A wheel brings the pages along, so that `man proveout-triage` finds them where proveout is on the path.

    \b
    proveout manual triage | man -l -
    proveout manual rules check | man -l -
    proveout manual --into ~/.local/share/man/man1
    """
    from proveout import __version__
    from proveout.terminal.manual import BEGINS, pages

    root = click.get_current_context().find_root().command
    found = dict(pages(root, __version__))
    if directory is not None and not command_name:
        from proveout.record import files

        files.make_directory(directory)
        for name, text in found.items():
            files.replace(directory / f"{name}.1", text.encode(), begins=BEGINS.encode())
        tell(f"Wrote {len(found)} pages into {directory}.")
        return
    if directory is not None:
        raise click.UsageError("--into writes the pages of all commands; name none.")
    name = "-".join(("proveout", *command_name))
    if name not in found:
        raise click.UsageError(f"There is no command {' '.join(command_name)!r}; see proveout --help.")
    say(found[name].rstrip("\n"))
