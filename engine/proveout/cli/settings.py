"""``proveout settings``: what is settled for the shop and the user, and where it stands."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import json_option, say, say_json, tell


@click.command(name="settings")
@click.option(
    "--rules",
    "layers",
    multiple=True,
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="As if this directory were laid over the book (repeatable; - for none).",
)
@json_option
def command(layers: tuple[Path, ...], as_json: bool) -> None:
    """Print what holds here, value by value, each with the file and line that it comes from.

    Layers, prices, tools, units and people stand in the shop.yaml of a layer and in your standing.yaml, which
    goes before it; both are facts of each new case, and change no rule.

    \b
    proveout settings
    """
    from proveout.app.profile import standing_file
    from proveout.app.settings import settings

    found = settings(layers)
    if as_json:
        rows = [{"key": one.key, "value": one.value, "place": one.place} for one in found]
        say_json({"schema": "proveout/settings/1", "settings": rows})
        return
    wide = max(len(f"{one.key}  {one.value}") for one in found)
    for one in found:
        say(f"{f'{one.key}  {one.value}':<{wide}}  {one.place}")
    if not standing_file().exists():
        tell(f"There is no {standing_file()} yet; README.md says what it may hold.")
