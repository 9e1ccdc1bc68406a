"""The examples that rules carry: with each the rule must fire, or stay silent."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.book import Book
from proveout.model.chained import Chained
from proveout.model.problem import BadInputError
from proveout.model.rule import Example, Rule
from proveout.trial.outcome import ERROR, FAILED, PASSED, Outcome


def try_examples(
    book: Book,
    engine: str | None = None,
    rules: Iterable[str] | None = None,
    wanted: Callable[[str], bool] = lambda _name: True,
    seen: Callable[[Chained], None] = lambda _chained: None,
) -> Iterator[Outcome]:
    """Return the outcome of the examples of rules.

    Args:
        book: the rules.
        engine: which chainer, or None for the default.
        rules: ids of those to try; all in order of id where left out.
        wanted: says by the name of an example, as ``example_names`` gives it, whether it is run.
        seen: is shown what was chained from each that can be read.
    """
    for rule in book.rules if rules is None else rules:
        for name, example in _named(book.rules[rule]):
            if wanted(name):
                yield _try(book.rules[rule], name, example, book, engine, seen)


def example_names(rule: Rule) -> tuple[str, ...]:
    """Return the names of the examples of a rule, such as ``evap-purge-leaks fires 1``."""
    return tuple(name for name, _ in _named(rule))


def _named(rule: Rule) -> Iterator[tuple[str, Example]]:
    for number, example in enumerate(rule.examples, start=1):
        yield f"{rule.id} {_wish(example)} {number}", example


def _wish(example: Example) -> str:
    return "fires" if example.fires else "is silent"


def _try(
    rule: Rule,
    name: str,
    example: Example,
    book: Book,
    engine: str | None,
    seen: Callable[[Chained], None],
) -> Outcome:
    try:
        case = case_of(example.intake, book, lambda _path: example.place)
        chained = close(book, sheet_of(case, book).atoms, engine)
    except BadInputError as error:
        return Outcome(name, example.place, ERROR, str(error))
    seen(chained)
    fired = {item.rule for item in chained.fired}
    if (rule.id in fired) == example.fires:
        return Outcome(name, example.place, PASSED)
    came = "it stayed silent" if example.fires else "it fired"
    others = ", ".join(sorted(fired)[:6]) or "no rule"
    return Outcome(
        name, example.place, FAILED, f"expected that it {_wish(example)}; {came} (fired: {others})"
    )
