"""The options by which facts are given, for opening a case and for amending one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from proveout.model.vehicle import KINDS
from proveout.terminal import completing
from proveout.terminal.numbers import DISTANCE, number

F = TypeVar("F", bound=Callable[..., Any])

_MONEY = number(0, 1e6)

_OPTIONS = (
    click.option("--code", "codes", multiple=True, metavar="CODE[:STATUS]",
                 shell_complete=completing.of("codes", inside=False),
                 help="A code read; status confirmed (default), pending, permanent or history."),
    click.option("--symptom", "symptoms", multiple=True, metavar="NAME",
                 shell_complete=completing.of("symptoms"), help="A symptom that is there."),
    click.option("--absent", multiple=True, metavar="NAME",
                 shell_complete=completing.of("symptoms"), help="A symptom looked for and not there."),
    click.option("--said", multiple=True, metavar="TEXT", help="What the driver says, in any words."),
    click.option("--when", "happens_when", multiple=True, metavar="NAME",
                 shell_complete=completing.of("circumstances"), help="When it happens."),
    click.option("--replaced", multiple=True, metavar="COMPONENT",
                 shell_complete=completing.of("components"), help="A part replaced without effect."),
    click.option("--replaced-again", multiple=True, metavar="COMPONENT=TIMES",
                 help="A part replaced more than once without effect, and how often."),
    click.option("--never-changed", multiple=True, metavar="COMPONENT",
                 shell_complete=completing.of("components"),
                 help="A part known to be the first one, never changed or cleaned."),
    click.option("--put-right", multiple=True, metavar="CAUSE", shell_complete=completing.of("causes"),
                 help="A fault found and put right without effect."),
    click.option("--for-years", is_flag=True, default=None, help="The trouble has been there for years."),
    click.option("--engine-exchanged", is_flag=True, default=None,
                 help="The engine is not the one it came with."),
    click.option("--family", "code_families", multiple=True, metavar="FAMILY",
                 help="The family of a code whose number is not known, such as evap."),
    click.option("--recent-work", multiple=True, metavar="NAME",
                 shell_complete=completing.of("recent-work"), help="Work done just before it began."),
    click.option("--tool", "tools", multiple=True, metavar="NAME",
                 shell_complete=completing.of("tools"), help="A tool at hand, not a basic one."),
    click.option("--monitor-run", "monitors_run", multiple=True, metavar="NAME",
                 shell_complete=completing.of("monitors"), help="A readiness monitor that has completed."),
    click.option("--readiness", metavar="HEX", help="The four readiness bytes (service 01, item 01)."),
    click.option("--frame", "frame_bytes", metavar="BYTES",
                 help="Freeze frame (service 02): items and bytes in hexadecimal, such as '05=7B 0C=1AF8'."),
    click.option("--table", type=click.Path(path_type=Path), metavar="CSV",
                 help="A table of codes and values with the columns code, status, name, value, unit."),
    click.option("--column", "columns", multiple=True, metavar="OURS=THEIRS",
                 help="Which heading of the table stands for which of these columns."),
    click.option("--age", "age_years", type=number(0, 150), metavar="YEARS", help="Age of the vehicle."),
    click.option("--mileage", "mileage_km", type=DISTANCE, metavar="DISTANCE",
                 help="Its mileage, in km unless it says mi."),
    click.option("--motor", "engine", metavar="TEXT", help="Its engine, in words."),
    click.option("--fuel", metavar="TEXT", help="Its fuel, such as petrol."),
    click.option("--has", multiple=True, type=click.Choice(KINDS), metavar="KIND",
                 help=f"What the vehicle has or is: {', '.join(KINDS)}."),
    click.option("--lacks", multiple=True, type=click.Choice(KINDS), metavar="KIND",
                 help="What it has not or is not."),
    click.option("--climate", metavar="TEXT", help="Where it lives, such as road-salt, dusty, humid or dry."),
    click.option("--vehicle", "vehicle_name", metavar="TEXT", help="What you call it; for you only."),
    click.option("--plate", metavar="TEXT", help="Its licence plate; kept for you only."),
    click.option("--owner", metavar="TEXT", help="Whose it is; kept for you only."),
    click.option("--job", metavar="TEXT", help="Your number for the job; kept for you only."),
    click.option("--per-hour", type=_MONEY, metavar="AMOUNT", help="What an hour of your time counts."),
    click.option("--refer-out", type=_MONEY, metavar="AMOUNT", help="What a specialist costs who searches."),
    click.option("--refer-proven", type=_MONEY, metavar="AMOUNT",
                 help="What he costs where the cause is proven."),
    click.option("--currency", metavar="TEXT", help="What your currency is called, such as EUR."),
)  # fmt: skip


def fact_options(command: F) -> F:
    """Add every option that gives a fact."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command
