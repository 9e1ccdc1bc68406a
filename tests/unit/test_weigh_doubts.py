"""What the answer hangs on."""

from __future__ import annotations

import pytest

from helpers_weigh import a_cpt, a_network, brute_force, told
from proveout.model.atom import Observable
from proveout.model.belief import CPT, Evidence, Network
from proveout.weigh.doubts import sensitivity
from proveout.weigh.posteriors import posterior

PRIORS = {"cap": 0.03, "hose": 0.02}
CODE = CPT(Observable("code", "P0442"), ("set",), (0.0005,), {"cap": (0.6,), "hose": (0.6,)})
LEAK = Evidence(CODE, (("set", 1.0),))
CAP = a_cpt("cap-seal", {"cap": 0.97}, 0.01)
CAP_AGAIN = a_cpt("cap-swap", {"cap": 0.97}, 0.01)
HOSE = a_cpt("hose-look", {"hose": 0.97}, 0.01)


def surprising(network: Network) -> dict[str, float]:
    found = sensitivity(network, posterior(network)).surprises
    return {str(s.observable): s.expected for s in found}


def expected(network: Network, index: int) -> float:
    """Return P(that observation | all others) from the brute-force probabilities of evidence."""
    rest = network.evidence[:index] + network.evidence[index + 1 :]
    return brute_force(network)[2] / brute_force(a_network(network.priors, *rest))[2]


def test_a_code_alone_is_rare_and_no_surprise() -> None:
    network = a_network(PRIORS, LEAK)
    assert expected(network, 0) < 0.05
    assert surprising(network) == {}


def test_a_code_whose_causes_are_all_cleared_is_a_surprise() -> None:
    network = a_network(PRIORS, LEAK, told(CAP, "ok"), told(HOSE, "ok"))
    assert surprising(network) == pytest.approx({"code P0442": expected(network, 0)}, rel=1e-9)
    partly = a_network(PRIORS, LEAK, told(CAP, "ok"))
    assert surprising(partly) == {}


def test_a_result_against_all_the_rest_is_a_surprise() -> None:
    network = a_network(PRIORS, LEAK, told(CAP), told(CAP_AGAIN, "ok"), told(a_cpt("x", {"cap": 0.97}, 0.01)))
    found = surprising(network)
    assert list(found) == ["result cap-swap"]
    assert found["result cap-swap"] == pytest.approx(expected(network, 2), rel=1e-9)


def test_a_false_alarm_is_a_surprise_though_rare_anyway() -> None:
    network = a_network(PRIORS, LEAK, told(HOSE), told(CAP, "ok"), told(CAP_AGAIN))
    assert surprising(network) == pytest.approx({"result cap-swap": expected(network, 3)}, rel=1e-9)


def test_the_most_unlikely_comes_first() -> None:
    network = a_network(
        PRIORS,
        told(CAP, "ok"),
        told(a_cpt("a", {"cap": 0.5}, 0.03)),
        told(a_cpt("b", {"hose": 0.5}, 0.001)),
        told(HOSE, "ok"),
    )
    found = surprising(network)
    assert list(found) == ["result b", "result a"]
    assert found["result b"] < found["result a"] < 0.05


def test_a_pivot_is_what_the_lead_hangs_on() -> None:
    network = a_network(PRIORS, LEAK, told(CAP, "ok"))
    hangs = sensitivity(network, posterior(network)).pivots
    without_code = brute_force(a_network(PRIORS, told(CAP, "ok")))[1]
    without_test = brute_force(a_network(PRIORS, LEAK))[0]["cap"]
    assert [(str(o), cause) for o, cause, _ in hangs] == [("code P0442", ""), ("result cap-seal", "cap")]
    assert [p for _, _, p in hangs] == pytest.approx([without_code, without_test], rel=1e-9)


def test_no_pivot_where_the_lead_stands_without_any_one() -> None:
    proofs = [told(a_cpt(f"x{i}", {"cap": 0.97}, 0.01)) for i in range(3)]
    network = a_network(PRIORS, *proofs)
    assert sensitivity(network, posterior(network)).pivots == ()


def test_the_text_is_what_the_user_said_or_the_state() -> None:
    said = Evidence(CAP_AGAIN, (("ok", 1.0),), said="2.1 V")
    network = a_network(PRIORS, LEAK, told(CAP), said, told(a_cpt("x", {"cap": 0.97}, 0.01)))
    assert [s.said for s in sensitivity(network, posterior(network)).surprises] == ["2.1 V"]
    mute = Evidence(CAP_AGAIN, (("ok", 1.0),))
    network = a_network(PRIORS, LEAK, told(CAP), mute, told(a_cpt("x", {"cap": 0.97}, 0.01)))
    assert [s.said for s in sensitivity(network, posterior(network)).surprises] == ["ok"]


def test_no_evidence_nothing_hangs_on_it() -> None:
    network = a_network(PRIORS)
    assert sensitivity(network, posterior(network)).surprises == ()
    assert sensitivity(network, posterior(network)).pivots == ()
