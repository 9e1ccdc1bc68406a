"""``proveout completion``: the script by which a shell completes commands and names."""

from __future__ import annotations

import click

from proveout.terminal.asked import SHELLS
from proveout.terminal.common import say


@click.command()
@click.argument("shell", type=click.Choice(SHELLS))
def command(shell: str) -> None:
    """Print the script by which SHELL completes commands, options, names of the book, and case files.

    \b
    proveout completion bash > ~/.local/share/bash-completion/completions/proveout
    proveout completion zsh > ~/.zfunc/_proveout      # with ~/.zfunc in fpath before compinit
    proveout completion fish > ~/.config/fish/completions/proveout.fish
    proveout completion powershell >> $PROFILE
    """
    from proveout.terminal.shells import script

    say(script(shell, click.get_current_context().find_root().command, {}).rstrip("\n"))
