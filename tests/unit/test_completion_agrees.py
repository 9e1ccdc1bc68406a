"""A shell that is answered without click is told what click would say, for every command and option.

Outside source: click itself (its own walk over the commands, and its own lines for each shell).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import click
import pytest
from click.shell_completion import CompletionItem, ShellComplete, get_completion_class

from helpers_shipped import shipped_book
from proveout.app.names import every_name
from proveout.cli.main import main
from proveout.terminal.asked import ASKED, SHELLS, question, told
from proveout.terminal.at_tab import complete
from proveout.terminal.grammar import MAYBE, NONE, UNSURE, Takes, read, written
from proveout.terminal.keeping import takes
from proveout.terminal.shells import register

Line = tuple[list[str], str]
#: What is typed of a word in turn; some of it begins ids of the book, commands and choices.
TYPED = ("", "p", "P04", "rough", "valve", "zzz", "/")


@pytest.fixture(scope="module", autouse=True)
def _names_at_hand(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Give both the same names: how those are kept is tested by whole processes."""
    home = tmp_path_factory.mktemp("home")
    known = every_name(shipped_book())
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CONFIG_HOME", str(home / "config"))
        patched.chdir(home)
        patched.setattr("proveout.terminal.keeping.names_of", lambda kind, _layers: known[kind])
        patched.setattr("proveout.terminal.at_tab._Line.names", lambda _line, kind: known[kind])
        yield


@cache
def again() -> Takes:
    """Return what the program takes, written and read."""
    return read(written("proveout", takes(main)))


def by_click(words: list[str], typed: str) -> list[tuple[str, str, str]]:
    """Return what click completes."""
    items = ShellComplete(main, {}, "proveout", ASKED).get_completions(list(words), typed)
    return [(item.type, str(item.value), " ".join((item.help or "").split())) for item in items]


def commands(at: Takes, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Takes]]:
    """Return every command and group with the words that lead to it."""
    yield path, at
    for name, below in (at.below or {}).items():
        yield from commands(below, (*path, name))


def lines(path: tuple[str, ...], at: Takes) -> Iterator[Line]:
    """Return lines that reach everything a command takes."""
    yield from ((list(path), typed) for typed in (*TYPED, "-", "--", "--r"))
    if at.below is None:
        for count in range(1, 4):
            yield from (([*path, *["car.yaml"] * count], typed) for typed in TYPED)
    for option in at.options:
        for name in option.names:
            given = [*path, name]
            yield from ((given, typed) for typed in ("", "p", "--"))
            if option.takes != NONE:
                yield from (([*given, "P0442"], typed) for typed in ("", "--"))
            if option.takes == MAYBE:
                yield [*given, "--reason"], "x"


def test_every_line_is_answered_as_click_answers_it() -> None:
    whole = again()
    reached = 0
    for path, at in commands(whole):
        for words, typed in lines(path, at):
            found = complete(whole, words, typed)
            assert found is not None, (words, typed)
            plain = [(kind, value, " ".join(note.split())) for kind, value, note in found]
            assert plain == by_click(words, typed), (words, typed)
            reached += bool(plain)
    assert reached > 1000


def test_no_parameter_is_left_to_click() -> None:
    for path, at in commands(again()):
        assert at.arguments is not None, path
        for how in (*at.arguments, *(option.how for option in at.options)):
            assert how[0] != UNSURE, path


@pytest.mark.parametrize("words", [["nonsense"], ["triage", "--nonsense"], ["record", "x", "--", "y"]])
def test_what_is_not_understood_is_left_to_click(words: list[str]) -> None:
    assert complete(again(), words, "") is None


@pytest.mark.parametrize("shell", SHELLS)
def test_each_shell_is_told_in_its_own_lines(shell: str) -> None:
    register()
    made = get_completion_class(shell)
    assert made is not None
    shown = made(click.Group("proveout"), {}, "proveout", ASKED)
    for kind, value, note in (
        ("plain", "P0442", "A: leak"),
        ("plain", "a:b", "x"),
        ("plain", "a:b", ""),
        ("file", "ca", ""),
    ):
        assert told(shell, kind, value, note) == shown.format_completion(
            CompletionItem(value, kind, note or None)
        )


@pytest.mark.parametrize("shell", SHELLS)
@pytest.mark.parametrize(
    "line", ["proveout tri", "proveout triage ", "proveout steps car.yaml cap", "proveout"]
)
def test_each_shell_is_understood_as_click_understands_it(
    shell: str, line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    register()
    words = line.split(" ")
    typed = words[-1] if len(words) > 1 else ""
    at = typed if shell in ("fish", "powershell") else str(max(1, len(words) - 1))
    asked = {ASKED: f"{shell}_complete", "COMP_WORDS": line, "COMP_CWORD": at}
    if shell == "powershell":
        asked["COMP_WORDS"] = "\n".join(words)
    for name, value in asked.items():
        monkeypatch.setenv(name, value)
    made = get_completion_class(shell)
    assert made is not None
    assert question(asked) == (shell, *made(main, {}, "proveout", ASKED).get_completion_args())


@pytest.mark.parametrize(
    "line", ["proveout steps 'my car", "proveout triage my\\ car", "proveout code --x=y"]
)
def test_words_in_quotes_are_left_to_click(line: str) -> None:
    assert question({ASKED: "bash_complete", "COMP_WORDS": line, "COMP_CWORD": "2"}) is None
