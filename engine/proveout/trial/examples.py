"""The examples that rules carry: with each the rule must fire, or stay silent."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from proveout.chain import close
from proveout.intake import case_of, sheet_of
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.model.rule import Example, Rule
from proveout.trial.outcome import ERROR, FAILED, PASSED, Outcome


def try_examples(
    book: Book,
    engine: str | None = None,
    rules: Iterable[str] | None = None,
    wanted: Callable[[str], bool] = lambda _name: True,
) -> Iterator[Outcome]:
    """Return the outcome of the examples of rules.

    Args:
        book: the rules.
        engine: which chainer, or None for the default.
        rules: ids of those to try; all in order of id where left out.
        wanted: says by the name of an example, as ``example_names`` gives it, whether it is run.
    """
    for rule in book.rules if rules is None else rules:
        for name, example in _named(book.rules[rule]):
            if wanted(name):
                yield _try(book.rules[rule], name, example, book, engine)


def example_names(rule: Rule) -> tuple[str, ...]:
    """Return the names of the examples of a rule, such as ``evap-purge-leaks fires 1``."""
    return tuple(name for name, _ in _named(rule))


def _named(rule: Rule) -> Iterator[tuple[str, Example]]:
    for number, example in enumerate(rule.examples, start=1):
        yield f"{rule.id} {_wish(example)} {number}", example


def _wish(example: Example) -> str:
    return "fires" if example.fires else "is silent"


def _try(rule: Rule, name: str, example: Example, book: Book, engine: str | None) -> Outcome:
    try:
        case = case_of(example.intake, book, lambda _path: example.place)
        fired = {item.rule for item in close(book, sheet_of(case, book).atoms, engine).fired}
    except BadInputError as error:
        return Outcome(name, example.place, ERROR, str(error))
    if (rule.id in fired) == example.fires:
        return Outcome(name, example.place, PASSED)
    came = "it stayed silent" if example.fires else "it fired"
    others = ", ".join(sorted(fired)[:6]) or "no rule"
    return Outcome(
        name, example.place, FAILED, f"expected that it {_wish(example)}; {came} (fired: {others})"
    )
