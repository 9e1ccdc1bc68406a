"""Every option and argument of every command with values that nobody should type: answered or refused, plainly.

The options are found by walking the commands, so that a new one is swept from the day it is there.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator, Sequence
from contextlib import chdir
from pathlib import Path

import click
import pytest

from helpers_attack import INTAKE, sealed
from helpers_cli import proveout
from helpers_target_commands import commands
from proveout.cli.main import main
from proveout.text.visible import visible

#: Not a number, past all numbers, long, empty, of several lines, and what moves the cursor or hides.
VALUES = (
    "NaN",
    "inf",
    "-inf",
    "99999999999999999999",
    "1e400",
    "",
    "a\nb",
    "\x1b[2J\x1b]0;x\x07\u202e\u200f\x85",
    "x" * 100_000,
)
#: What is asked for anew, waits for somebody, opens a server, or goes through the whole book for each value.
LEFT_OUT = frozenset(
    {"serve", "demo", "rules test", "rules simulate", "rules compare", "rules coverage", "rules effect"}
)
#: What a command needs before the option that is swept, by the name of its argument.
NEEDED = {
    "case": "case.yaml",
    "directory": "cases",
    "inspection": "cap-seal-look",
    "result": "sound",
    "cause": "sensor-hose-cracked",
    "sources": "case.yaml",
    "paths": "own.yaml",
}


def _swept() -> Iterator[tuple[str, click.Parameter]]:
    """Return each option or argument that takes something, with its command."""
    for name, command in commands().items():
        if name not in LEFT_OUT:
            for parameter in command.params:
                if not getattr(parameter, "is_flag", False):
                    yield name, parameter


def _words(name: str, swept: click.Parameter, value: str) -> Sequence[str]:
    """Return a command line in which one option or argument has a value, and the others what they need."""
    words = [*name.split()]
    behind: list[str] = []
    for other in commands()[name].params:
        if isinstance(other, click.Argument):
            if other is swept:
                behind.append(value)
            elif other.name in NEEDED:
                case = "new.yaml" if name == "intake" else NEEDED[other.name]
                behind.append(case if other.name == "case" else NEEDED[other.name])
        elif other is swept:
            words += (
                [f"{other.opts[0]}={value}"] if other.opts[0].startswith("--") else [other.opts[0], value]
            )
    flags = {option for one in commands()[name].params for option in one.opts}
    return [*words, *(["--json"] if "--json" in flags else []), "--", *behind]
