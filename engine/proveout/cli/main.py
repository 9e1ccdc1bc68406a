"""The command group, how it is run, and the exit codes.

Commands are imported only when they are asked for, so that help and version answer at once.
"""

from __future__ import annotations

import importlib
import io
import os
import sys
from collections.abc import Collection, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

import click

from proveout import __version__
from proveout.terminal.asked import ASKED
from proveout.terminal.common import (
    BAD_INPUT,
    DAMAGED,
    DONE,
    INTERNAL,
    NO_OUTPUT,
    STOPPED,
    USAGE,
    begin_answer,
    has_said_json,
    say_json,
    tell,
)
from proveout.terminal.words_given import require_text

if TYPE_CHECKING:
    from pathlib import Path

    from proveout.model.problem import Problem

#: Most problems that are told, and most characters of each: nobody reads more.
MOST_PROBLEMS, MOST_CHARACTERS = 200, 2000
#: Most files that were written before a command broke off, by name.
MOST_NAMES = 8

_HELP = """Find out what is wrong before buying a part.

From trouble codes, symptoms and test results to the likely causes, the next inspection worth doing, and a
verdict that says whether a part is proven bad.

\b
Start with
  proveout demo                                   see one case from intake to verdict
  proveout intake mycar.yaml --code P0442         open a case
  proveout triage mycar.yaml                      what it could be, and what to do next
  proveout steps mycar.yaml cap-seal-look         how to do an inspection
  proveout record mycar.yaml cap-seal-look sound
  proveout why mycar.yaml                         the reasons, rule by rule

\b
Exit codes
  0 done   1 findings (check, test, audit)   2 usage   3 bad input or rules
  4 record damaged   70 internal fault   74 output could not be written   130 stopped from the keyboard
"""

#: Command name to (module, one line of help); the module holds a click command of the name ``command``.
COMMANDS: dict[str, tuple[str, str]] = {
    "intake": ("intake", "Open a case: vehicle, codes, symptoms, what was replaced."),
    "amend": ("amend", "Add to a case, take something back, set an inspection aside."),
    "undo": ("undo", "Take back the last step of a case."),
    "work": ("work", "The whole job step by step, from here to the confirmed repair."),
    "triage": ("triage", "What it could be, what to do next, and the verdict."),
    "steps": ("steps", "How to do an inspection: cautions, tools, steps, limits."),
    "record": ("record", "Record a reading or a result, or withdraw one."),
    "why": ("why", "Why a cause stands where it does, rule by rule."),
    "compute": ("compute", "The trade's formulas, with units and uncertainty."),
    "code": ("code", "What a trouble code means, and what it does not."),
    "terms": ("terms", "Words of the trade, explained."),
    "purchase": ("purchase", "Record that a part was bought; reminds of who else may pay."),
    "repair": ("repair", "Record what was mended, and say how to prove that it held."),
    "mend": ("mend", "Record that a plain defect was put right, to watch what comes of it."),
    "watch": ("watch", "Record whether the trouble stayed away after that, or came back."),
    "verify": ("verify", "Record what showed after a repair whether it held."),
    "ready": ("ready", "What must still be driven; what an emissions inspection would say."),
    "close": ("close", "End a case."),
    "reopen": ("reopen", "Open a closed case again."),
    "audit": ("audit", "Does the record hold, and why was that part recommended?"),
    "seal": ("seal", "Sign or time-stamp what a record ends with."),
    "report": ("report", "One page of a case, to print or to hand over."),
    "cases": ("cases", "Find cases among many."),
    "learn": ("learn", "What closed cases teach, as a layer of rules."),
    "serve": ("serve", "The page for the phone under the car."),
    "batch": ("batch", "Triage many cases at once, as JSON lines."),
    "settings": ("settings", "What holds for the shop and for you, and where that stands."),
    "rules": ("rules", "Check, test, scaffold and show rules."),
    "completion": ("completion", "The script by which a shell completes commands and names."),
    "manual": ("manual", "Man pages, of the same text as the help."),
    "demo": ("demo", "Walk one invented case from intake to verdict."),
}


class _LazyGroup(click.Group):
    """A group that imports a command's module only when the command is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"proveout.cli.{COMMANDS[cmd_name][0]}")
        found = module.command
        assert isinstance(found, click.Command)
        return require_text(found)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            import difflib

            near = difflib.get_close_matches(args[0], COMMANDS, n=1, cutoff=0.5)
            hint = f" Did you mean {near[0]!r}?" if near else ""
            raise click.UsageError(f"There is no command {args[0]!r}.{hint}", ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


def _version(ctx: click.Context, _option: click.Parameter, asked: bool) -> None:
    if not asked or ctx.resilient_parsing:
        return
    from proveout.chain.closing import default_engine
    from proveout.plan.compiled import row_by_row

    plans = "compiled" if row_by_row else "by numpy"
    python = sys.version.split()[0]
    click.echo(f"proveout {__version__} (chained by {default_engine()}, plans {plans}, Python {python})")
    ctx.exit()


@click.group(cls=_LazyGroup, help=_HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_version,
    help="Show the version, which chainer runs, and whether planning is compiled.",
)
def main() -> None:
    """Hold the commands."""


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and give its exit code.

    Bad input, damaged records and wrong usage become messages on standard error; a fault inside the program
    becomes one line that asks for a report, and code 70. What broke off says what was kept before. With
    ``--json`` standard output has a document whatever came of it.
    """
    _prepare_outputs()
    words = list(sys.argv[1:] if arguments is None else arguments)
    try:
        if ASKED in os.environ:
            from proveout.terminal.shells import make_ready

            make_ready(main)
        given = main.main(args=words, prog_name="proveout", standalone_mode=False)
        sys.stdout.flush()
        return given if isinstance(given, int) else DONE
    except (BrokenPipeError, SystemExit):  # click makes the one into the other
        _close_outputs()
        return DONE
    except (click.Abort, KeyboardInterrupt):
        tell(f"Stopped. {_kept()}")
        code, problems = STOPPED, _problem("stopped", "stopped from the keyboard")
    except Exception as error:  # the last line of defence: no traceback reaches the user
        code, problems = _failed(error)
    return _answered(code, problems) if "--json" in words and not has_said_json() else code


def _failed(error: Exception) -> tuple[int, Sequence[Problem]]:
    """Tell what went wrong, and give the exit code and the same as problems."""
    from proveout.model.problem import BadInputError, DamagedRecordError, WrongUsageError
    from proveout.record.written import WRITTEN

    if isinstance(error, click.ClickException):
        tell(_usage(error))
        return USAGE, _problem("usage", error.format_message())
    if isinstance(error, WrongUsageError):
        tell(f"Error: {str(error)[:MOST_CHARACTERS]}")
        return USAGE, _problem("usage", str(error))
    if isinstance(error, BadInputError | DamagedRecordError):
        _list(error.problems)
        if any(_is_news(path, {problem.place.file for problem in error.problems}) for path in WRITTEN):
            tell(_kept())
        return (BAD_INPUT if isinstance(error, BadInputError) else DAMAGED), error.problems
    if isinstance(error, OSError) and error.filename is not None:
        saw = f"{os.fsdecode(error.filename)[:MOST_CHARACTERS]}: {error.strerror}"
        tell(f"{saw}. {_kept()}")
        return BAD_INPUT, _problem("system", saw)
    if isinstance(error, OSError):
        tell(f"The output could not be written: {error.strerror or error}. {_kept()}")
        _close_outputs()
        return NO_OUTPUT, ()
    saw = f"{type(error).__name__}: {str(error)[:500]}"
    tell(f"Internal fault: {saw}. {_kept()} Please report it.")
    return INTERNAL, _problem("internal-fault", saw)


def _problem(check: str, saw: str) -> Sequence[Problem]:
    """Return one complaint that lies in no file."""
    from proveout.model.problem import NOWHERE, Problem

    return (Problem(NOWHERE, check, saw),)


def _answered(code: int, problems: Sequence[Problem]) -> int:
    """Print problems as JSON, no more of them than is told; give the exit code."""
    from msgspec.structs import replace

    from proveout.text.complaints import problems_document

    first = [replace(problem, saw=problem.saw[:MOST_CHARACTERS]) for problem in problems[:MOST_PROBLEMS]]
    try:
        say_json(problems_document(first))
        sys.stdout.flush()
    except OSError:
        _close_outputs()
    return code


def _prepare_outputs() -> None:
    """Let outputs that are not UTF-8 show a character like the one they lack; forget what was written.

    An output that was closed before the program began takes everything and shows nothing.
    """
    from proveout.record.written import WRITTEN
    from proveout.text.visible import PLAINER

    WRITTEN.clear()
    begin_answer()
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, os.fdopen(os.open(os.devnull, os.O_WRONLY), "w", encoding="utf-8"))
    for output in (sys.stdout, sys.stderr):
        if isinstance(output, io.TextIOWrapper):
            output.reconfigure(errors=PLAINER)


def _kept() -> str:
    """Say which files were written before a command broke off, the first ones by name."""
    from proveout.record.files import shown
    from proveout.record.written import WRITTEN

    names = list(dict.fromkeys(shown(path) for path in WRITTEN))
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return f"Written before: {', '.join(names[:MOST_NAMES])}{more}." if names else "Nothing was written."


def _is_news(path: Path, complained: Collection[str]) -> bool:
    """Say whether a file that was written is worth telling: what only the program itself looks at is not.

    One that is complained of is, wherever it lies.
    """
    from proveout.app.places import cache_dir, data_dir
    from proveout.record.files import shown

    own = any(path.is_relative_to(home) for home in (cache_dir(), data_dir()))
    return not own or shown(path) in complained


def _usage(error: click.ClickException) -> str:
    """Say what is wrong with a command, and how it is used."""
    context = error.ctx if isinstance(error, click.UsageError) else None
    lines = []
    if context is not None:
        lines = [context.get_usage(), f"Try '{context.command_path} --help' for help.", ""]
    return "\n".join([*lines, f"Error: {error.format_message()[:MOST_CHARACTERS]}"])


def _list(problems: Sequence[Problem]) -> None:
    """Tell problems, the first ones in full."""
    for problem in problems[:MOST_PROBLEMS]:
        tell(str(problem)[:MOST_CHARACTERS])
    if len(problems) > MOST_PROBLEMS:
        tell(f"... and {len(problems) - MOST_PROBLEMS} more; mend these first.")


def _close_outputs() -> None:
    """Throw away what an output did not take, so that Python does not complain of it once more at the end."""
    for output in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), output.fileno())
