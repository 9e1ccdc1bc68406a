"""Every code that the shipped book weighs, as the only thing known and with no tools but the basic ones."""

from __future__ import annotations

import pytest

from helpers_shipped import shipped_book
from proveout.chain.closing import close
from proveout.model.advice import INSPECT
from proveout.model.belief import Sensitivity
from proveout.model.case import Costs
from proveout.plan.decide import decide
from proveout.trial.simulate import weighed_codes
from proveout.trial.world import presenting
from proveout.weigh.networks import network
from proveout.weigh.posteriors import posterior


def test_at_least_two_hundred_codes_are_weighed_and_six_hundred_known() -> None:
    book = shipped_book()
    assert len(weighed_codes(book)) >= 200
    assert len(book.words.codes) >= 600


@pytest.mark.parametrize("code", weighed_codes(shipped_book()))
def test_a_code_alone_gives_causes_and_a_first_inspection_without_tools(code: str) -> None:
    book, sheet = shipped_book(), presenting(code)
    chained = close(book, sheet.atoms, "reference")
    belief = posterior(network(book, sheet, chained))
    got = decide(book, sheet, chained, belief, Sensitivity((), ()), tools=frozenset(), costs=Costs())
    assert len(got.hypotheses) >= 3
    assert got.verdict.kind == INSPECT and got.next is not None
    assert all(book.words.tools[tool].basic for tool in book.inspections[got.next.inspection].tools)
