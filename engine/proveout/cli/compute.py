"""``proveout compute``: the trade's formulas, with units and uncertainty."""

from __future__ import annotations

import click

from proveout.terminal.common import display_option, json_option, say, say_json, width


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("name", metavar="[NAME]", required=False)
@click.argument("arguments", metavar="[PARAMETER=VALUE]...", nargs=-1)
@display_option
@json_option
def command(name: str | None, arguments: tuple[str, ...], display: str, as_json: bool) -> None:
    """Compute the formula NAME; without arguments show what it takes, without NAME list all.

    A value is typed with its unit; a range or a form with a plus-minus sign carries its uncertainty along.

    \b
    proveout compute
    proveout compute wire-drop
    proveout compute orifice-flow diameter="0.020 in" pressure="10 inH2O"
    """
    from proveout.measure.compute import compute, find_formula
    from proveout.physics.registry import FORMULAS
    from proveout.show.formulas import answers_document, answers_text, formula_text, formulas_text

    if as_json and not arguments:
        raise click.UsageError("--json prints answers: name a formula and what it takes.")
    if name is None:
        say(formulas_text(FORMULAS, width()))
        return
    formula = find_formula(name)
    if not arguments:
        say(formula_text(formula, width()))
        return
    pairs = [item.partition("=") for item in arguments]
    if any(not mark for _, mark, _ in pairs):
        raise click.UsageError("Give each argument as PARAMETER=VALUE, such as pressure='10 inH2O'.")
    answers = compute(name, {key: value for key, _, value in pairs})
    if as_json:
        say_json(answers_document(formula, answers))
    else:
        say(answers_text(formula, answers, width(), display))
