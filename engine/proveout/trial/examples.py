"""The examples that rules carry: with each the rule must fire, or stay silent."""

from __future__ import annotations

from collections.abc import Iterator

from proveout.chain import close
from proveout.intake import case_of, sheet_of
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.model.rule import Example, Rule
from proveout.trial.outcome import ERROR, FAILED, PASSED, Outcome


def try_examples(book: Book, engine: str | None = None) -> Iterator[Outcome]:
    """Run every example of every rule, in order of rule id."""
    for rule in book.rules.values():
        for number, example in enumerate(rule.examples, start=1):
            yield _try(rule, number, example, book, engine)


def _try(rule: Rule, number: int, example: Example, book: Book, engine: str | None) -> Outcome:
    wanted = "fires" if example.fires else "is silent"
    name = f"{rule.id} {wanted} {number}"
    try:
        case = case_of(example.intake, book, lambda _path: example.place)
        fired = {item.rule for item in close(book, sheet_of(case, book).atoms, engine).fired}
    except BadInputError as error:
        return Outcome(name, example.place, ERROR, str(error))
    if (rule.id in fired) == example.fires:
        return Outcome(name, example.place, PASSED)
    came = "it stayed silent" if example.fires else "it fired"
    others = ", ".join(sorted(fired)[:6]) or "no rule"
    return Outcome(name, example.place, FAILED, f"expected that it {wanted}; {came} (fired: {others})")
