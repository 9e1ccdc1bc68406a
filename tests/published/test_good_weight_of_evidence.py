"""Weight of evidence in decibans, 10 log10 of the likelihood ratio.

Good, Probability and the Weighing of Evidence, 1950. Formula as
published; the ratios are realised here by tables, so that the ledger of the project is checked.
"""

from __future__ import annotations

import pytest

from helpers_weigh import a_cpt, a_network, told
from proveout.weigh.ledger import ledgers
from proveout.weigh.posteriors import posterior


@pytest.mark.parametrize(
    ("if_present", "if_absent", "decibans"),
    [
        (0.8, 0.4, 3.010),
        (0.9, 0.3, 4.771),
        (0.8, 0.2, 6.021),
        (0.5, 0.1, 6.990),
        (0.5, 0.05, 10.0),
        (0.8, 0.04, 13.010),
        (0.5, 0.4, 0.969),
    ],
)
def test_entry_of_a_ledger(if_present: float, if_absent: float, decibans: float) -> None:
    how = a_cpt("test", {"fault": 1 - (1 - if_present) / (1 - if_absent)}, if_absent)
    network = a_network({"fault": 0.02}, told(how))
    (ledger,) = ledgers(network, posterior(network))
    assert ledger.entries[1].decibans == pytest.approx(decibans, abs=5e-4)


def test_independent_weights_add_up() -> None:
    """2 and then 10 is 20."""
    two = told(a_cpt("two", {"fault": 1 - 0.2 / 0.6}, 0.4))
    ten = told(a_cpt("ten", {"fault": 1 - 0.5 / 0.95}, 0.05))
    network = a_network({"fault": 0.02}, two, ten)
    (ledger,) = ledgers(network, posterior(network))
    assert ledger.total - ledger.entries[0].decibans == pytest.approx(13.0103, abs=1e-4)
