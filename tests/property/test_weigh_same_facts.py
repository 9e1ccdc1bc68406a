"""Same facts, same answer: to the last digit, whatever the order, and after a withdrawal."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from helpers_weigh import normal, result, saw, torn, weighs
from helpers_weigh_worlds import Answer, World, answer, worlds
from proveout.model.atom import Observation

TESTS = Path(__file__).parents[1]

#: Prints everything for one fixed world; the hash seed comes from the environment.
SCRIPT = """
from helpers_weigh import *
from helpers_weigh_worlds import World, answer
smell, look, leak = symptom("smell"), result("look"), code("P0001")
world = World(
    (weighs("r1", leak, {"a": 0.6, "b": 0.5, "c": 0.4}, 0.001),
     weighs("r2", smell, {"d": 0.3, "a": 0.2}, 0.02),
     weighs("r3", look, {"e": 0.9, "b": 0.4}, 0.03), concludes("f", "both", all_of=[leak, smell]),
     weighs("r4", finding("both"), {"a": 0.5}), weighs("r5", result("look", "worse"), {"c": 0.3}, 0.01)),
    (saw(leak), saw(smell), torn("look", worse=0.2, bad=0.5, ok=0.3)), (replaced("hose"),))
found = answer(world.book, world.sheet)
print(found.network, found.posterior.prob.tolist(), found.posterior.log_evidence)
print(found.ledgers, found.sensitivity)
"""


def same(one: Answer, other: Answer) -> None:
    """Hold two answers equal to the last digit."""
    assert one.network == other.network
    assert list(one.network.priors) == list(other.network.priors)
    assert one.posterior.causes == other.posterior.causes
    np.testing.assert_array_equal(one.posterior.prob, other.posterior.prob)
    assert one.posterior.log_evidence == other.posterior.log_evidence
    assert one.ledgers == other.ledgers
    assert one.sensitivity == other.sensitivity


@settings(max_examples=80, deadline=None)
@given(worlds(), st.randoms(use_true_random=False))
def test_order_is_nothing(world: World, random: Random) -> None:
    rules, seen, context = list(world.rules), list(world.seen), list(world.context)
    random.shuffle(rules)
    random.shuffle(seen)
    random.shuffle(context)
    turned = [replace(o, states=o.states[::-1]) for o in seen]
    other = World(tuple(rules), tuple(turned), tuple(context))
    same(answer(world.book, world.sheet), answer(other.book, other.sheet))


@settings(max_examples=60, deadline=None)
@given(
    worlds(), st.sampled_from([saw(result("late")), normal(result("late")), torn("late", bad=0.4, ok=0.6)])
)
def test_withdrawing_restores(world: World, late: Observation) -> None:
    rules = (*world.rules, weighs("late", result("late"), {"a": 0.9, "c": 0.5}, 0.02))
    before = World(rules, world.seen, world.context)
    after = World(rules, (*world.seen, late), world.context)
    first = answer(before.book, before.sheet)
    longer = answer(after.book, after.sheet)
    assert len(longer.network.evidence) == len(first.network.evidence) + 1
    again = World(rules, tuple(o for o in after.seen if o is not late), world.context)
    same(first, answer(again.book, again.sheet))


def test_the_hash_seed_is_nothing() -> None:
    prints = set()
    for seed in ("0", "1", "7"):
        env = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(TESTS)}
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT], env=env, capture_output=True, text=True, timeout=60, check=True
        )
        prints.add(run.stdout)
    assert len(prints) == 1
    assert "finding" in prints.pop()
