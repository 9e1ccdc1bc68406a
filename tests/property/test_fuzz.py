"""The fuzz harness in CI: every input that ever broke a promise, and a few new ones against each target.

``PROVEOUT_FUZZ=10000`` raises the number of new inputs; ``fuzz.py`` beside this file is the long run.
"""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from helpers_mutate import mutated, mutated_json
from helpers_targets import TARGETS

CORPUS = Path(__file__).parent / "corpus"
INPUTS = int(os.environ.get("PROVEOUT_FUZZ", "80"))
#: Targets of which no seed is accepted: nothing that lies there is believed.
REFUSING = frozenset({"shelf"})


@pytest.mark.parametrize(
    "path", sorted(CORPUS.glob("*/*")), ids=lambda path: f"{path.parent.name}-{path.name}"
)
def test_what_broke_a_promise_once_does_so_no_more(path: Path) -> None:
    TARGETS[path.parent.name].attack(path.read_bytes())


@pytest.mark.parametrize("name", TARGETS)
def test_mutated_inputs_are_answered_or_refused(name: str) -> None:
    target = TARGETS[name]
    dice, pool = random.Random(name), target.seeds()
    change = mutated_json if target.is_json else mutated
    for _ in range(INPUTS * target.share // 40 + 1):
        target.attack(change(dice.choice(pool), dice))


@pytest.mark.parametrize("name", TARGETS)
def test_seeds_are_not_refused_so_that_mutations_reach_far(name: str) -> None:
    if name not in REFUSING:
        target = TARGETS[name]
        assert not all(target.attack(seed) for seed in target.seeds()[:3]), "every seed is refused"


def test_a_schema_fits_just_where_the_schema_checker_has_no_complaint() -> None:
    """``text.fit`` against ``jsonschema`` (an independent implementation) on mutated events."""
    import json

    from proveout.record.event import KINDS
    from proveout.text.compose import compose
    from proveout.text.schema import fits, validate

    dice, pool = random.Random("fit"), TARGETS["sealed_case"].seeds()
    seen = [0, 0]
    for _ in range(10 * INPUTS):
        entries = json.loads(mutated_json(dice.choice(pool), dice))
        for entry in entries if isinstance(entries, list) else []:
            if not isinstance(entry, list) or len(entry) != 2 or entry[0] not in list(KINDS):
                continue
            kind, body = entry
            try:
                node = compose(json.dumps(body), "x")
            except Exception:
                continue
            fitting = fits(body, "event", kind)
            assert fitting == (not validate(node, "event", kind)), (kind, body)
            seen[fitting] += 1
    assert min(seen) > INPUTS, "both answers come often enough to be compared"
