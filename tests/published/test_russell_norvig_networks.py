"""Russell and Norvig, Artificial Intelligence: A Modern Approach, the chapter on probabilistic reasoning.

The fever table of the noisy-OR (inhibitors cold 0.6, flu 0.2, malaria 0.1); the sprinkler network, whose wet
grass is exactly a noisy-OR (0.9, 0.9, no leak: both 0.99), sprinkler and rain being independent once the sky
is known; and the burglar alarm, which is near a noisy-OR but not one. The posteriors of the two networks were
computed with pyagrum 3.3.1 from the book's tables.
"""

from __future__ import annotations

import math

import pytest

from helpers_weigh import a_cpt, a_network, told
from proveout.model.belief import Posterior
from proveout.weigh.likelihoods import likelihood
from proveout.weigh.posteriors import posterior, sets

FEVER = ("cold", "flu", "malaria")


@pytest.mark.parametrize(
    ("present", "expected"),
    [
        ((), 0.0),
        (("malaria",), 0.9),
        (("flu",), 0.8),
        (("flu", "malaria"), 0.98),
        (("cold",), 0.4),
        (("cold", "malaria"), 0.94),
        (("cold", "flu"), 0.88),
        (("cold", "flu", "malaria"), 0.988),
    ],
)
def test_fever(present: tuple[str, ...], expected: float) -> None:
    how = a_cpt("fever", {"cold": 0.4, "flu": 0.8, "malaria": 0.9})
    member = sets(3, 3)
    row = [set(present) == {c for c, inside in zip(FEVER, h, strict=True) if inside} for h in member].index(
        True
    )
    assert likelihood(how, FEVER, member)[row, 1] == pytest.approx(expected, abs=1e-12)


def both(answer: Posterior) -> float:
    """Return the probability that all causes are present."""
    return float(answer.prob[answer.member.all(axis=1)].sum())


def test_sprinkler() -> None:
    """Cloudy or not, even odds: sprinkler 0.1 or 0.5, rain 0.8 or 0.2."""
    wet = told(a_cpt("wet-grass", {"rain": 0.9, "sprinkler": 0.9}))
    skies = [{"sprinkler": 0.1, "rain": 0.8}, {"sprinkler": 0.5, "rain": 0.2}]
    answers = [posterior(a_network(priors, wet)) for priors in skies]
    chance = [0.5 * math.exp(answer.log_evidence) for answer in answers]
    weight = [p / sum(chance) for p in chance]
    rain = sum(w * a.confidence()["rain"] for w, a in zip(weight, answers, strict=True))
    sprinkler = sum(w * a.confidence()["sprinkler"] for w, a in zip(weight, answers, strict=True))
    assert sum(chance) == pytest.approx(0.6471, abs=1e-9)
    assert rain == pytest.approx(0.7079, abs=5e-5)
    assert sprinkler == pytest.approx(0.4298, abs=5e-5)
    together = sum(w * both(a) for w, a in zip(weight, answers, strict=True))
    assert together / rain == pytest.approx(0.1945, abs=5e-5)


def test_burglar_alarm_as_a_noisy_or() -> None:
    """The alarm goes off with 0.001, 0.94, 0.29 and 0.95; the noisy-OR of the first three gives 0.9574.

    So the published posteriors, 0.3736 and 0.00327, must come out to within what that difference makes.
    """
    burglary, earthquake = (1 - (1 - p) / 0.999 for p in (0.94, 0.29))
    alarm = told(a_cpt("alarm", {"burglary": burglary, "earthquake": earthquake}, 0.001))
    causes, member = ("burglary", "earthquake"), sets(2, 2)
    rows = likelihood(alarm.cpt, causes, member)[:, 1]
    assert rows == pytest.approx([0.001, 0.94, 0.29, 1 - 0.06 * 0.71 / 0.999], abs=1e-12)
    answer = posterior(a_network({"burglary": 0.001, "earthquake": 0.002}, alarm))
    assert answer.confidence()["burglary"] == pytest.approx(0.3736, abs=1e-4)
    explained = both(answer) / answer.confidence()["earthquake"]
    assert explained == pytest.approx(0.00327, abs=5e-5)
    assert explained < answer.confidence()["burglary"] / 100
