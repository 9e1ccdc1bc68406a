"""``proveout rules``: check, explain, test, list, show and scaffold rules."""

from __future__ import annotations

import re
from pathlib import Path

import click

from proveout.app.working import hold
from proveout.cli import (
    rules_check,
    rules_compare,
    rules_coverage,
    rules_docs,
    rules_effect,
    rules_fmt,
    rules_graph,
    rules_network,
    rules_new,
    rules_schema,
    rules_table,
)
from proveout.model.problem import BadInputError
from proveout.terminal.common import (
    DONE,
    FINDINGS,
    STOPPED,
    book_options,
    engine_option,
    json_option,
    open_book,
    say,
    say_json,
    tell,
    width,
)
from proveout.terminal.working import jobs_option, scheduler_option, watched


@click.group(name="rules")
def command() -> None:
    """Check, test, list, show and scaffold rules.

    \b
    proveout rules check my-rules
    """


@command.command()
@click.argument("name", metavar="[CHECK]", required=False)
def explain(name: str | None) -> None:
    """Say what a CHECK of `rules check` is for, with an example; without CHECK, list them all.

    \b
    proveout rules explain unknown-id
    """
    from proveout.app.naming import refuse_unknown
    from proveout.book.checks import PAGES
    from proveout.show.explained import page_text, pages_text

    refuse_unknown([name] if name else [], PAGES, "check")
    say(page_text(name, PAGES[name], width()) if name else pages_text(PAGES, width()))


@command.command()
@click.argument("layers", metavar="[DIR]...", nargs=-1, type=click.Path(path_type=Path))
@click.option("--only", metavar="PATTERN", help="Try only what matches this regular expression.")
@click.option(
    "--cases",
    "case_dirs",
    multiple=True,
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Also try the expected cases of this directory (repeatable; the shipped ones always are).",
)
@click.option(
    "--least",
    type=click.FloatRange(0, 100),
    metavar="PERCENT",
    help="Also say what share of the rules spoke; exit with 1 where it is smaller.",
)
@engine_option
@jobs_option
@json_option
def test(
    layers: tuple[Path, ...],
    only: str | None,
    case_dirs: tuple[Path, ...],
    least: float | None,
    engine: str | None,
    jobs: int | None,
    as_json: bool,
) -> int:
    """Run the examples in the rules and the expected cases; fails when nothing ran.

    \b
    proveout rules test my-rules
    """
    from proveout.app.trials import all_tried
    from proveout.show.trials import trials_document, trials_text
    from proveout.trial.coverage import share_of
    from proveout.trial.outcome import PASSED

    try:
        re.compile(only or "")
    except re.error as error:
        raise click.UsageError(f"--only is not a regular expression: {error}") from None
    book = open_book(layers)
    tried = all_tried(book, layers, case_dirs, engine, only or "", jobs, watched)
    share = None if least is None else share_of(book, tried.spoke)
    if as_json:
        say_json(trials_document(tried.outcomes, share))
    else:
        say(trials_text(tried.outcomes, share))
    if not tried.outcomes:
        tell("Nothing was tried: no example and no case matches.")
        return FINDINGS
    passed = all(outcome.status == PASSED for outcome in tried.outcomes)
    return DONE if passed and (share is None or share * 100 >= (least or 0)) else FINDINGS


@command.command(name="list")
@click.argument("kind", metavar="[KIND]", required=False)
@book_options
@json_option
def list_(kind: str | None, layers: tuple[Path, ...], as_json: bool) -> None:
    """List the ids of a KIND: causes, inspections, symptoms, tools, and so on; without KIND, count them.

    What entries are written with is listed, too: patterns with what they ask for, groups, texts,
    safety-limits.

    \b
    proveout rules list causes
    proveout rules list patterns
    """
    from proveout.book.known import BLOCKS, building_blocks
    from proveout.show.entry import catalogue

    kinds = catalogue(open_book(layers))
    if kind in BLOCKS:
        kinds = building_blocks(layers)
    if kind is not None and kind not in kinds:
        raise click.UsageError(f"There is no kind {kind!r}; there are {', '.join((*kinds, *BLOCKS))}.")
    if as_json:
        say_json({"schema": "proveout/list/1", "kinds": {kind: kinds[kind]} if kind else kinds})
    elif kind:
        for key, title in kinds[kind].items():
            say(f"{key:<40} {title}".rstrip())
    else:
        for name, entries in kinds.items():
            say(f"{name:<16} {len(entries)}")


@command.command()
@click.argument("entry", metavar="ID")
@book_options
def show(entry: str, layers: tuple[Path, ...]) -> None:
    """Show an entry of the book, by its id, its title or a word for it; where it stands, and what uses it.

    Of a pattern it shows what a use gives, and what comes of it.

    \b
    proveout rules show purge-valve
    proveout rules show three-wire-sensor
    """
    from proveout.app.naming import entry_of
    from proveout.book.known import patterns_of
    from proveout.show.entry import entry_text
    from proveout.show.pattern import pattern_text

    book = open_book(layers)
    try:
        found = entry_of(entry, book)
    except BadInputError:
        patterns = patterns_of(layers)
        if entry not in patterns:
            raise
        say(pattern_text(patterns[entry], patterns.values(), width()))
    else:
        say(entry_text(book, found, width()))


@command.command()
@click.argument("layers", metavar="[DIR]...", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--cases", type=click.IntRange(1), default=200, show_default=True, help="How many cases to draw."
)
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="Where to start drawing.")
@click.option(
    "--disturb",
    type=click.FloatRange(1, 10),
    default=1.0,
    show_default=True,
    metavar="FACTOR",
    help="Disturb each frequency of the drawn world by a random factor up to this, either way.",
)
@click.option("--code", "codes", multiple=True, metavar="CODE", help="Only cases that begin with this code.")
@click.option("--family", "families", multiple=True, metavar="ID", help="Only with a code of this family.")
@click.option(
    "--tool", "tools", multiple=True, metavar="ID", help="Tools at hand (default: all of the book)."
)
@click.option(
    "--resume",
    "kept",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Keep each finished case in FILE, and go on from those that it holds.",
)
@jobs_option
@scheduler_option
@json_option
def simulate(
    layers: tuple[Path, ...],
    cases: int,
    seed: int,
    disturb: float,
    codes: tuple[str, ...],
    families: tuple[str, ...],
    tools: tuple[str, ...],
    kept: Path | None,
    jobs: int | None,
    scheduler: str,
    as_json: bool,
) -> int:
    """Draw causes by base rate and results by the book, follow triage to its verdict, and count by family.

    The same seed gives the same cases on any number of cores. With --resume it can be stopped (Ctrl-C) and
    goes on when the same command is given again, be it with more --cases.

    \b
    proveout rules simulate --cases 500 --code P0442
    """
    from proveout.app.naming import id_of
    from proveout.app.simulating import Run, StoppedError, chosen_codes, played_cases
    from proveout.show.simulated import simulated_document, simulated_text
    from proveout.trial.played import by_family
    from proveout.trial.simulate import drawing

    book = open_book(layers)
    chosen = chosen_codes(book, codes, families)
    at_hand = frozenset(id_of("tool", tool, book.words.tools) for tool in tools) if tools else None
    drawn = drawing(book, seed=seed, codes=chosen, tools=at_hand, disturbance=disturb)
    run = Run(hold(book, layers), drawn)
    try:
        played = played_cases(run, cases, kept, jobs=jobs, scheduler=scheduler, watch=watched)
    except StoppedError as stopped:
        goes_on = f" {kept} keeps them; the same command goes on." if kept else ""
        tell(f"\nStopped after {stopped} of {cases} cases.{goes_on}")
        return STOPPED
    rows = by_family(played)
    if as_json:
        say_json(simulated_document(rows))
    else:
        say(simulated_text(rows, played))
    return DONE


command.add_command(rules_check.command, "check")
command.add_command(rules_compare.command, "compare")
command.add_command(rules_coverage.command, "coverage")
command.add_command(rules_docs.command, "docs")
command.add_command(rules_effect.command, "effect")
command.add_command(rules_fmt.command, "fmt")
command.add_command(rules_graph.command, "graph")
command.add_command(rules_network.command, "network")
command.add_command(rules_new.command, "new")
command.add_command(rules_schema.command, "schema")
command.add_command(rules_table.command, "table")
