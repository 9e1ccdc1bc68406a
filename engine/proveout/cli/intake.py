"""``proveout intake``: open a case."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from proveout.cli.common import at_terminal, book_options, json_option, open_book, say, say_json, tell, width


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path))
@click.option(
    "--from", "document", metavar="FILE", help="Take the intake from this YAML document (- for stdin)."
)
@click.option(
    "--code",
    "codes",
    multiple=True,
    metavar="CODE[:STATUS]",
    help="A code read; status confirmed (default), pending or permanent.",
)
@click.option("--symptom", "symptoms", multiple=True, metavar="ID", help="A symptom that is there.")
@click.option("--absent", multiple=True, metavar="ID", help="A symptom that was looked for and is not there.")
@click.option("--said", multiple=True, metavar="TEXT", help="What the driver says, in any words.")
@click.option("--when", "happens_when", multiple=True, metavar="ID", help="When it happens.")
@click.option(
    "--replaced", multiple=True, metavar="COMPONENT", help="A part already replaced without effect."
)
@click.option("--recent-work", multiple=True, metavar="ID", help="Work done just before it began.")
@click.option("--tool", "tools", multiple=True, metavar="ID", help="A tool at hand besides the basic ones.")
@click.option(
    "--monitor-run",
    "monitors_run",
    multiple=True,
    metavar="NAME",
    help="A readiness monitor known to have completed.",
)
@click.option(
    "--age", "age_years", type=click.FloatRange(0, 120), metavar="YEARS", help="Age of the vehicle."
)
@click.option(
    "--mileage", "mileage_km", type=click.FloatRange(0, 5e6), metavar="KM", help="Its mileage in km."
)
@click.option("--motor", "engine", metavar="TEXT", help="Its engine, in words.")
@click.option("--fuel", metavar="TEXT", help="Its fuel, such as petrol.")
@click.option("--climate", metavar="TEXT", help="Where it lives, such as road-salt, dusty, humid or dry.")
@book_options
@json_option
def command(case: Path, document: str | None, layers: tuple[Path, ...], as_json: bool, **given: Any) -> None:
    """Open the case file CASE from flags, from a YAML document, or by questions at a terminal.

    \b
    proveout intake mycar.yaml --code P0442 --age 14 --replaced fuel-cap --tool hand-vacuum-pump
    proveout intake mycar.yaml --from intake.yaml
    """
    from proveout.cli.opening import ask, document_from_flags, keep
    from proveout.cli.source import read_intake
    from proveout.show import triage_document, triage_text

    book = open_book(layers)
    if case.exists():
        raise click.UsageError(f"{case} is already there; add to it with `proveout record {case} ...`.")
    flags = document_from_flags(given, book)
    if document is not None and flags:
        raise click.UsageError("Give either --from or flags, not both.")
    if document is not None:
        body = dict(read_intake(document, book)[0])
    elif flags:
        body = flags
    elif at_terminal():
        body = ask(book)
    else:
        raise click.UsageError(
            "Nothing was given: name at least a --code, a --symptom or --said, or use --from."
        )
    head, answer = keep(case, body, book, layers)
    if as_json:
        say_json(triage_document(answer, book))
    else:
        say(triage_text(answer, book, width()))
    tell(f"\nKept in {case} (head {head[:16]}). How to do it: proveout steps {case}")
