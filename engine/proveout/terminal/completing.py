"""What the shell may complete, as click's parameters state it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

from proveout.terminal.candidates import candidates
from proveout.terminal.grammar import CASES, NAMES, WORDS

if TYPE_CHECKING:
    from proveout.terminal.grammar import How


class Completes:
    """Completes one parameter; ``how`` says it as data, too (see ``terminal.grammar``)."""

    def __init__(self, how: How) -> None:
        self.how = how

    def __call__(self, ctx: click.Context, _param: click.Parameter, typed: str) -> list[CompletionItem]:
        """Return what the word that was typed so far may become."""

        def known(kind: str) -> Mapping[str, str] | None:
            from proveout.model.problem import BadInputError
            from proveout.terminal.keeping import names_of

            try:
                return names_of(kind, ctx.params.get("layers") or ())
            except (BadInputError, OSError):
                return None

        found = candidates(self.how, typed, known) or []
        return [CompletionItem(value, type=kind, help=note or None) for kind, value, note in found]


def of(kind: str, inside: bool = True) -> Completes:
    """Return what completes the ids of a kind; see ``app.names``.

    Args:
        kind: of the entries.
        inside: whether what was typed may stand within an id, where none begins with it.
    """
    return Completes((NAMES, kind, "within") if inside else (NAMES, kind))


#: The case files and directories that what was typed may become.
case_files = Completes((CASES,))


def words(*known: str) -> Completes:
    """Return what completes one of some words."""
    return Completes((WORDS, *known))
