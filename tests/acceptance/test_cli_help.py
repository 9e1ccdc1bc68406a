"""Every command and option says what it is for, with an example that the command itself takes."""

from __future__ import annotations

import importlib.util
import shlex
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from proveout.cli.main import COMMANDS, main
from proveout.terminal.manual import pages


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


PAGES = dict(pages(main, "1.2.3"))


def test_every_command_has_a_man_page_that_says_what_its_help_says() -> None:
    assert set(PAGES) == {"proveout", *(f"proveout-{'-'.join(path)}" for path in EVERY)}
    for path, command in EVERY.items():
        said = "".join(PAGES["proveout-" + "-".join(path)].replace("\\-", "-").replace("\\e", "\\").split())
        for line in (command.help or "").splitlines():
            assert "".join(line.replace("\b", "").split()) in said, (path, line)
        for option in command.params:
            if isinstance(option, click.Option):
                assert option.opts[0] in said and "".join((option.help or "").split()) in said, (
                    path,
                    option.name,
                )


@pytest.mark.parametrize("name", PAGES)
def test_a_man_page_has_its_sections_in_the_usual_order(name: str) -> None:
    """The order is that of man-pages(7), from memory; no line begins with a request that is not ours."""
    lines = PAGES[name].splitlines()
    heads = [line[4:] for line in lines if line.startswith(".SH ")]
    usual = ["NAME", "SYNOPSIS", "DESCRIPTION", "EXAMPLES", "OPTIONS", "COMMANDS", "SEE ALSO"]
    assert heads == [head for head in usual if head in heads] and heads[:3] == usual[:3]
    assert ("EXAMPLES" in heads) == (name != "proveout") and ("SEE ALSO" in heads) == (name != "proveout")
    asked = {line.split()[0] for line in lines if line.startswith((".", "'"))}
    assert asked <= {'.\\"', ".TH", ".SH", ".PP", ".TP", ".nf", ".fi"}
    assert sum(line == ".nf" for line in lines) == sum(line == ".fi" for line in lines)


def test_the_formatter_has_nothing_to_complain_of() -> None:
    found = shutil.which("groff")
    if found is None:
        pytest.skip("groff is not installed")
    for name, text in PAGES.items():
        asked = [found, "-man", "-Tutf8", "-ww", "-z"]
        done = subprocess.run(asked, input=text, capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, ""), name


def test_pages_are_printed_and_written(tmp_path: Path) -> None:
    shown = CliRunner().invoke(main, ["manual", "rules", "check"])
    assert shown.exit_code == 0 and ".SH NAME" in shown.output
    done = CliRunner().invoke(main, ["manual", "--into", str(tmp_path / "man1")])
    assert done.exit_code == 0 and len(list((tmp_path / "man1").iterdir())) == len(PAGES)
    assert CliRunner().invoke(main, ["manual", "triag"]).exit_code == 2


def test_the_build_takes_the_pages_along(tmp_path: Path) -> None:
    path = Path(__file__).resolve().parents[2] / "engine" / "build_hook.py"
    spec = importlib.util.spec_from_file_location("build_hook", path)
    assert spec is not None and spec.loader is not None
    hook = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(hook)
    made = hook.man_pages(tmp_path)
    assert {Path(path).name for path in made} == {f"{name}.1" for name in PAGES}
    assert set(made.values()) == {f"share/man/man1/{name}.1" for name in PAGES}
