"""Every command and option says what it is for, with an example that the command itself takes."""

from __future__ import annotations

import shlex
from collections.abc import Iterator

import click
import pytest
from click.testing import CliRunner

from proveout.cli.main import COMMANDS, main


def commands(
    group: click.Group, path: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    context = click.Context(group, info_name="proveout")
    for name in group.list_commands(context):
        found = group.get_command(context, name)
        assert found is not None
        yield (*path, name), found
        if isinstance(found, click.Group):
            yield from commands(found, (*path, name))


EVERY = dict(commands(main))


def examples(command: click.Command) -> list[str]:
    lines = (command.help or "").splitlines()
    return [line.strip() for line in lines if line.strip().startswith("proveout ")]


@pytest.mark.parametrize("path", EVERY, ids=" ".join)
def test_every_help_has_an_example_that_can_be_typed(path: tuple[str, ...]) -> None:
    command = EVERY[path]
    found = examples(command)
    assert found, path
    for example in found:
        typed = shlex.split(example.split(" > ")[0].split(" >> ")[0].split(" | ")[0], comments=True)[1:]
        named = EVERY[path]
        for depth in range(len(typed)):
            if tuple(typed[: depth + 1]) not in EVERY:
                break
            named, rest = EVERY[tuple(typed[: depth + 1])], typed[depth + 1 :]
        context = named.make_context(" ".join(path), list(rest), resilient_parsing=False)
        assert context is not None


@pytest.mark.parametrize("path", EVERY, ids=" ".join)
def test_examples_stand_on_lines_of_their_own_as_printed(path: tuple[str, ...]) -> None:
    """A raw docstring shows click's mark as two letters and runs the examples together."""
    shown = CliRunner().invoke(main, [*path, "--help"], terminal_width=200).output
    assert "\\b" not in shown and "\b" not in shown
    lines = [line.strip() for line in shown.splitlines()]
    assert [example for example in examples(EVERY[path]) if example not in lines] == []


@pytest.mark.parametrize("path", EVERY, ids=" ".join)
def test_every_option_has_help(path: tuple[str, ...]) -> None:
    bare = [p.name for p in EVERY[path].params if isinstance(p, click.Option) and not p.help]
    assert bare == []


def test_every_command_is_on_the_first_page() -> None:
    assert {path[0] for path in EVERY} == set(COMMANDS)
