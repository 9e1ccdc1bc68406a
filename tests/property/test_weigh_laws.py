"""What holds for every case: probabilities, ledgers, direct tests, joint events."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from helpers_weigh import (
    a_cpt,
    a_network,
    brute_force,
    chances,
    concludes,
    finding,
    normal,
    result,
    seen_chance,
    told,
    weighs,
)
from helpers_weigh_worlds import World, answer, weights, worlds
from proveout.model.atom import Atom
from proveout.model.belief import Evidence
from proveout.weigh.likelihoods import likelihood
from proveout.weigh.posteriors import posterior, sets

CHANCE = st.floats(0.001, 0.95)


@settings(max_examples=80, deadline=None)
@given(worlds())
def test_probabilities_and_brute_force(world: World) -> None:
    found = answer(world.book, world.sheet)
    confidence, nothing, evidence = brute_force(found.network)
    assert found.posterior.prob.sum() == pytest.approx(1.0, abs=1e-12)
    assert all(0.0 <= p <= 1.0 for p in found.posterior.confidence().values())
    assert found.posterior.confidence() == pytest.approx(confidence, abs=1e-10)
    assert found.posterior.not_in_book == pytest.approx(nothing, abs=1e-10)
    assert math.exp(found.posterior.log_evidence) == pytest.approx(evidence, rel=1e-9)


@settings(max_examples=80, deadline=None)
@given(worlds())
def test_ledgers_sum_to_the_log_odds(world: World) -> None:
    found = answer(world.book, world.sheet)
    prob = found.posterior.prob
    for i, ledger in enumerate(found.ledgers):
        inside = found.posterior.member[:, i]
        odds = 10.0 * math.log10(prob[inside].sum() / prob[~inside].sum())
        assert ledger.total == pytest.approx(odds, abs=1e-9)
        assert math.fsum(e.decibans for e in ledger.entries) == pytest.approx(odds, abs=1e-9)
        assert len(ledger.entries) == 1 + len(found.network.evidence)


@settings(max_examples=80, deadline=None)
@given(worlds(), st.sampled_from("abcde"), st.floats(0.05, 0.99), st.floats(0.001, 0.2))
def test_a_normal_direct_test_never_raises_its_cause(
    world: World, cause: str, strength: float, false_alarm: float
) -> None:
    """It lowers the odds by exactly the share of the faulty that it would have missed."""
    rules = (*world.rules, weighs("direct", result("direct"), {cause: strength}, false_alarm))
    before = answer(World(rules, world.seen, world.context).book, world.sheet)
    tested = World(rules, (*world.seen, normal(result("direct"))), world.context)
    after = answer(tested.book, tested.sheet)
    assume(cause in before.posterior.causes)
    i = before.posterior.causes.index(cause)
    assert after.posterior.confidence()[cause] <= before.posterior.confidence()[cause]
    fall = after.ledgers[i].total - before.ledgers[i].total
    assert fall == pytest.approx(10.0 * math.log10(1.0 - strength), abs=1e-9)


@settings(max_examples=100, deadline=None)
@given(st.lists(CHANCE, min_size=1, max_size=4).filter(lambda s: sum(s) < 0.999))
def test_a_single_cause_without_background_returns_its_frequencies(given_: list[float]) -> None:
    how = a_cpt("x", {"a": tuple(given_)}, (0.0,) * len(given_))
    states = tuple(f"s{i}" for i in range(len(given_)))
    how = type(how)(how.observable, states, how.background, how.given)
    row = likelihood(how, ("a",), sets(1, 1))[1]
    np.testing.assert_allclose(row[1:], given_, rtol=1e-13)
    assert row[0] == pytest.approx(1.0 - sum(given_), rel=1e-10)


@settings(max_examples=100, deadline=None)
@given(
    st.dictionaries(st.sampled_from("abcd"), st.tuples(st.floats(0, 0.5), st.floats(0, 0.49)), max_size=4),
    st.tuples(st.floats(0, 0.1), st.floats(0, 0.1)),
    st.sets(st.sampled_from("abcd")),
)
def test_every_set_has_the_chances_of_the_formulas(
    rows: dict[str, tuple[float, ...]], background: tuple[float, ...], present: set[str]
) -> None:
    how = a_cpt("x", rows, background)
    member = np.array([[c in present for c in "abcd"]])
    row = likelihood(how, tuple("abcd"), member)[0]
    np.testing.assert_allclose(row, list(chances(how, sorted(present)).values()), atol=1e-13)
    assert row.sum() == pytest.approx(1.0, abs=1e-14)
    assert (row >= 0).all()


@settings(max_examples=50, deadline=None)
@given(st.sampled_from(["bad", "worse", "ok"]), CHANCE, CHANCE)
def test_a_mixture_of_one_is_a_decided_reading(state: str, strength: float, prior: float) -> None:
    how = a_cpt("x", {"a": (strength / 2, strength / 3)}, (0.02, 0.01))
    decided = posterior(a_network({"a": prior}, told(how, state)))
    mixed = posterior(a_network({"a": prior}, Evidence(how, ((state, 1.0),))))
    np.testing.assert_array_equal(decided.prob, mixed.prob)


@settings(max_examples=50, deadline=None)
@given(st.floats(0.0, 1.0), CHANCE, CHANCE)
def test_a_mixture_lies_between_its_states(weight: float, strength: float, prior: float) -> None:
    how = a_cpt("x", {"a": strength}, 0.02)
    ends = [posterior(a_network({"a": prior}, told(how, k))).confidence()["a"] for k in ("ok", "bad")]
    torn = posterior(a_network({"a": prior}, told(how, bad=weight, ok=1.0 - weight))).confidence()["a"]
    assert min(ends) - 1e-12 <= torn <= max(ends) + 1e-12


@settings(max_examples=80, deadline=None)
@given(worlds(findings=0), weights(), st.integers(1, 3))
def test_a_finding_leaves_causes_that_it_does_not_name_what_they_had(
    world: World, named: dict[str, float], most: int
) -> None:
    """Alone, against none at all, where the finding's rule leaves the background to the product."""
    decided = [(o.observable, o.decided) for o in world.seen if o.decided]
    amiss = [Atom(*o, state) for o, state in decided if state not in ("ok", "normal")][:most]
    cleared = [result(o.key) for o, state in decided if state == "ok"][:1]
    assume(amiss)
    rules = (concludes("f", "joint", all_of=amiss, none_of=cleared), weighs("w", finding("joint"), named))
    joint = World((*world.rules, *rules), world.seen, world.context)
    single = answer(world.book, world.sheet).network.evidence
    found = answer(joint.book, joint.sheet).network.evidence
    assert {str(e.cpt.observable) for e in found} >= {"finding joint"}
    for cause in sorted(set("abcde") - named.keys()):
        ratios = [
            math.prod(seen_chance(e, [cause]) / seen_chance(e, []) for e in es) for es in (found, single)
        ]
        assert ratios[0] == pytest.approx(ratios[1], rel=1e-9)
