"""Expected cases: intake documents that state the verdict, cause and next inspection that must come."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from proveout.intake.document import case_of
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.plan.advice import advise
from proveout.text.node import Node, find, plain
from proveout.text.schema import validate
from proveout.trial.outcome import ERROR, FAILED, PASSED, Outcome


def try_case(
    name: str,
    node: Node,
    book: Book,
    engine: str | None = None,
    seen: Callable[[Triage], None] = lambda _answer: None,
) -> Outcome:
    """Triage one expected case and compare it with its ``expect``.

    Args:
        name: what to call it.
        node: the composed document.
        book: the rules to try it with.
        engine: which chainer, or None for the default.
        seen: is shown the answer, where there is one.
    """
    place = find(node, ("expect",)).place
    problems = validate(node, "intake")
    if problems:
        return Outcome(name, problems[0].place, ERROR, str(problems[0]))
    document: Mapping[str, Any] = plain(node)
    if "expect" not in document:
        return Outcome(name, place, ERROR, "it has no `expect`, so nothing was tried")
    try:
        case = case_of(document, book, lambda path: find(node, path).place)
        answer = advise(case, book, engine, brief=True)
    except BadInputError as error:
        return Outcome(name, place, ERROR, str(error))
    seen(answer)
    wrong = differences(document["expect"], answer)
    return Outcome(name, place, FAILED if wrong else PASSED, "; ".join(wrong))


def differences(expect: Mapping[str, Any], answer: Triage) -> list[str]:
    """Return every way in which an answer is not as expected, in words."""
    came = {
        "verdict": answer.verdict.kind,
        "cause": answer.verdict.cause,
        "next": answer.next.inspection if answer.next else "",
        "leads": answer.hypotheses[0].cause if answer.hypotheses else "",
    }
    wrong = []
    for key, value in came.items():
        if key not in expect:
            continue
        allowed = expect[key] if isinstance(expect[key], list) else [expect[key]]
        if value not in allowed:
            wanted = " or ".join(repr(item) for item in allowed)
            wrong.append(f"{key}: expected {wanted}, came {value!r}")
    wrong += [
        f"not_proven: {cause!r} must not be the verdict"
        for cause in expect.get("not_proven", ())
        if cause == answer.verdict.cause
    ]
    return wrong
