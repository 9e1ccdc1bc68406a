"""What the shell may complete: names of the book, and case files."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import click
from click.shell_completion import CompletionItem

#: As click wants it: context, parameter and what was typed so far to what it may become.
Completes: TypeAlias = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]

#: Completions shown at most; a shell asks before it shows so many.
_MOST = 400


def of(kind: str, inside: bool = True) -> Completes:
    """Return what completes the ids of a kind; see ``app.names``.

    Args:
        kind: of the entries.
        inside: whether what was typed may stand within an id, where none begins with it.
    """

    def completes(ctx: click.Context, _param: click.Parameter, typed: str) -> list[CompletionItem]:
        from proveout.app.names import names
        from proveout.model.problem import BadInputError

        try:
            known = names(kind, ctx.params.get("layers") or ())
        except (BadInputError, OSError):
            return []
        wanted = typed.casefold()
        found = [key for key in known if key.casefold().startswith(wanted)]
        if not found and inside:
            found = [key for key in known if wanted in key]
        return [CompletionItem(key, help=known[key] or None) for key in found[:_MOST]]

    return completes


def case_files(_ctx: click.Context, _param: click.Parameter, typed: str) -> list[CompletionItem]:
    """Return the case files and directories that what was typed may become."""
    from pathlib import Path

    from proveout.record.header import begins_as_case

    parent, slash, begins = typed.rpartition("/")
    found = []
    try:
        entries = sorted(Path(f"{parent}{slash}" or ".").iterdir())
    except OSError:
        return []
    for path in entries:
        if not path.name.startswith(begins) or (path.name.startswith(".") and not begins):
            continue
        name = f"{parent}{slash}{path.name}"
        try:
            if path.is_dir():
                found.append(CompletionItem(f"{name}/"))
            elif path.suffix == ".yaml" and begins_as_case(path):
                found.append(CompletionItem(name))
        except OSError:
            continue
    return found[:_MOST]


def words(*known: str) -> Completes:
    """Return what completes one of some words."""

    def completes(_ctx: click.Context, _param: click.Parameter, typed: str) -> list[CompletionItem]:
        return [CompletionItem(word) for word in known if word.startswith(typed)]

    return completes
