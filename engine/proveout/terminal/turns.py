"""Questions of a job under way: besides an answer, everybody may say can't, later, undo, why or stop."""

from __future__ import annotations

from collections.abc import Iterable

import click

from proveout.terminal.common import say, tell
from proveout.text.visible import visible

CANNOT, LATER, UNDO, WHY, STOP = "cannot", "later", "undo", "why", "stop"

#: What may be said in the place of an answer.
_WORDS = {
    "can't": CANNOT,
    "can’t": CANNOT,
    "cant": CANNOT,
    "cannot": CANNOT,
    "later": LATER,
    "undo": UNDO,
    "why": WHY,
    "stop": STOP,
    "quit": STOP,
    "exit": STOP,
}

TURNS = "can't, later, undo, why, stop"

_YES, _NO = frozenset(("y", "yes", "ok")), frozenset(("n", "no"))


class TurnError(Exception):
    """Something else is wanted than to answer; its argument says what."""


def ask(text: str, answers: Iterable[str] = ()) -> str:
    """Ask for a line; ``?`` lists what may be answered. An empty line gives "".

    Raises:
        TurnError: something else is wanted.
        click.Abort: it was broken off.
    """
    known = list(answers)
    while True:
        typed = str(click.prompt(visible(text), default="", show_default=False, err=True))
        answer = " ".join(typed.split())
        turn = _WORDS.get(answer.casefold())
        if turn:
            raise TurnError(turn)
        if answer != "?":
            return answer
        for item in known:
            say(f"    {item}")
        say(f"    at any point: {TURNS}")


def agreed(text: str) -> bool:
    """Ask for yes or no until it is one of them; an empty line is no answer."""
    while True:
        answer = ask(f"{text} (yes/no)", ("yes", "no")).casefold()
        if answer in _YES | _NO:
            return answer in _YES
        tell("  Please answer yes or no.")
