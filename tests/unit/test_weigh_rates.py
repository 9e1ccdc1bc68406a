"""What the answer owes to base rates, against doing the whole inference again with another rate."""

from __future__ import annotations

from math import inf, isfinite

import pytest
from msgspec.structs import replace

from helpers_shipped import shipped_book
from helpers_weigh import a_cpt, a_network, random_network, told
from proveout.intake.document import case_of
from proveout.model.belief import Network
from proveout.plan.advice import advise
from proveout.show.rates import rate_doubt
from proveout.weigh.posteriors import leading, posterior
from proveout.weigh.rates import rate_doubts

OFF = 3.0


def times(network: Network, cause: str, factor: float) -> Network:
    """Return the network with the prior odds of one cause so many times what they were."""
    odds = factor * network.priors[cause] / (1.0 - network.priors[cause])
    return replace(network, priors={**network.priors, cause: odds / (1.0 + odds)})


@pytest.mark.parametrize("seed", range(40))
def test_a_rate_that_is_off_gives_what_inference_gives(seed: int) -> None:
    network = random_network(seed, causes=2 + seed % 5, observables=1 + seed % 4)
    found = rate_doubts(posterior(network), dict.fromkeys(network.priors, OFF))
    assert [one.cause for one in found] == sorted(network.priors)
    for one in found:
        less, more = (posterior(times(network, one.cause, f)).confidence() for f in (1 / OFF, OFF))
        assert (one.less, one.more) == pytest.approx((less[one.cause], more[one.cause]), abs=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_the_lead_changes_at_the_factor_that_is_said_and_not_before(seed: int) -> None:
    network = random_network(seed, causes=2 + seed % 5, observables=1 + seed % 4)
    belief = posterior(network)
    now, _ = leading(belief)
    for one in rate_doubts(belief, {}):
        way = -1 if one.cause == now else 1

        def leads(factor: float, cause: str = one.cause, way: int = way) -> str:
            return leading(posterior(times(network, cause, factor**way)))[0]

        assert one.turns >= 1.0
        if isfinite(one.turns):
            assert leads(one.turns * 1.001) == one.leads
            if one.turns > 1.01:
                assert (leads(one.turns * 0.999) == one.cause) == (way < 0)
        else:
            assert (leads(1e6) == one.cause) == (way < 0)


def test_two_causes_that_the_same_things_speak_for_change_places_at_the_ratio_of_their_odds() -> None:
    code = a_cpt("code", {"cap": 0.5, "hose": 0.5}, 0.0001)
    network = a_network({"cap": 0.06, "hose": 0.02}, told(code), at_once=1)
    cap, hose = rate_doubts(posterior(network), {"cap": 2.0})
    ratio = (0.06 / 0.94) / (0.02 / 0.98)
    assert cap.turns == pytest.approx(ratio) and hose.turns == pytest.approx(ratio)
    assert (cap.leads, hose.leads, cap.off, hose.off) == ("hose", "hose", 2.0, 0.0)
    assert hose.less == hose.more == pytest.approx(posterior(network).confidence()["hose"])


def test_what_nothing_else_explains_leads_however_rare() -> None:
    cpt = a_cpt("look", {"cap": 0.9}, 0.0)
    (cap,) = rate_doubts(posterior(a_network({"cap": 0.01}, told(cpt))), {})
    assert cap.turns == inf and cap.leads == ""


def test_why_says_how_far_off_a_rate_must_be() -> None:
    book = shipped_book()
    triage = advise(case_of({"codes": ["P0442"]}, book), book, "reference")
    lead = triage.hypotheses[0].cause
    said = rate_doubt(triage, book, lead)
    assert "times lower for another to lead" in said or "However far off" in said
    assert "times higher for this to lead" in rate_doubt(triage, book, triage.hypotheses[3].cause)
