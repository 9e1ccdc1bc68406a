"""Completion in shells: the scripts that they take, and PowerShell beside those that click knows."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any, ClassVar

import click
from click.shell_completion import CompletionItem, ShellComplete, add_completion_class, get_completion_class

from proveout.terminal.asked import ASKED, powershell_words, told

_POWERSHELL = """Register-ArgumentCompleter -Native -CommandName %(prog_name)s -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $env:%(complete_var)s = 'powershell_complete'
    $env:COMP_WORDS = ($commandAst.CommandElements | ForEach-Object { $_.ToString() }) -join "`n"
    $env:COMP_CWORD = $wordToComplete
    try {
        & %(prog_name)s | ForEach-Object {
            $kind, $value, $help = $_ -split "`t", 3
            if ($kind -ne 'plain') { return }
            if (-not $help) { $help = $value }
            [System.Management.Automation.CompletionResult]::new($value, $value, 'ParameterValue', $help)
        }
    } finally {
        Remove-Item Env:%(complete_var)s, Env:COMP_WORDS, Env:COMP_CWORD
    }
}
"""


class PowerShellComplete(ShellComplete):
    """Completion in PowerShell: one word a line in, kind, value and help between tabs out."""

    name: ClassVar[str] = "powershell"
    source_template: ClassVar[str] = _POWERSHELL

    def get_completion_args(self) -> tuple[list[str], str]:
        """Return the words before the one to be completed, and that one."""
        return powershell_words(os.environ.get("COMP_WORDS", ""), os.environ.get("COMP_CWORD", ""))

    def format_completion(self, item: CompletionItem) -> str:
        """Return one completion as the script takes it."""
        return told(self.name, item.type, str(item.value), item.help or "")


def register() -> None:
    """Make PowerShell known beside the shells that click knows."""
    add_completion_class(PowerShellComplete)


def make_ready(command: click.Group) -> None:
    """Let click answer all shells, and keep what the next answer needs, so that it comes without click.

    Args:
        command: the whole program.
    """
    from proveout.terminal.keeping import keep_grammar

    register()
    keep_grammar(command)


def script(shell: str, command: click.Command, info: Mapping[str, Any]) -> str:
    """Return the script that gives a shell completion.

    Args:
        shell: one of ``asked.SHELLS``.
        command: the whole program.
        info: as click makes contexts of.
    """
    register()
    made = get_completion_class(shell)
    assert made is not None
    return made(command, dict(info), "proveout", ASKED).source()
