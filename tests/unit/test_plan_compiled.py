"""Plans followed by the compiled library, row by row, against the same plans followed by numpy."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from helpers_dp import random_job
from helpers_shipped import shipped_book
from proveout.model.belief import Sensitivity
from proveout.model.case import Costs
from proveout.plan import compiled, decide, ecr
from proveout.plan.moves import inspect_each, ready
from proveout.plan.problem import Bools, Floats, Ints, Problem, States, stack
from proveout.plan.side_by_side import side_by_side
from proveout.plan.steps import plan_steps
from proveout.plan.used import Used
from proveout.trial.world import presenting
from proveout.weigh.inference import infer

needs_compiler = pytest.mark.skipif(shutil.which(os.environ.get("CC", "cc")) is None, reason="no C compiler")


@needs_compiler
def test_the_library_was_built_where_there_is_a_compiler() -> None:
    assert compiled.row_by_row is not None


def both_ways(problem: Problem, state: States) -> int:
    """Follow the plans behind every result of everything that can be done; return how many there were."""
    checks = np.flatnonzero(ready(problem, state)[0])
    leaves, _ = inspect_each(problem, state, np.zeros(len(checks), dtype=np.int64), checks)
    followed: list[tuple[tuple[Floats, Ints], tuple[Floats, Ints]]] = []

    def compare(used: Used, states: States, fits: Bools) -> tuple[Floats, Ints]:
        assert compiled.row_by_row is not None
        followed.append((compiled.row_by_row(used, states, fits), side_by_side(used, states, fits)))
        return followed[-1][0]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ecr, "row_by_row", compare)
        ecr.work_through(problem, plan_steps(problem, state), stack([state, leaves]))
    for (cost, first), (other, second) in followed:
        np.testing.assert_allclose(cost, other, rtol=1e-9, atol=1e-9)
        np.testing.assert_array_equal(first, second)
    return sum(len(cost) for (cost, _), _ in followed)


@needs_compiler
def test_both_ways_give_the_same_plans_of_random_problems() -> None:
    rows = sum(both_ways(*random_job(seed)) for seed in range(200))
    assert rows > 500


@needs_compiler
@pytest.mark.parametrize("code", ["P0300", "P0171", "P0442", "P0641", "U0100"])
def test_both_ways_give_the_same_plans_of_the_shipped_book(code: str) -> None:
    book, sheet = shipped_book(), presenting(code)
    found = infer(book, sheet, "reference")
    kept: list[tuple[Problem, States]] = []

    def choose(problem: Problem, state: States, *_rest: object, **_named: object) -> object:
        kept.append((problem, state))
        raise InterruptedError

    with pytest.MonkeyPatch.context() as patch, pytest.raises(InterruptedError):
        patch.setattr(decide, "choose", choose)
        decide.decide(
            book, sheet, found.chained, found.posterior, Sensitivity((), ()), tools=frozenset(), costs=Costs()
        )
    assert both_ways(*kept[0]) > 20


@needs_compiler
def test_a_library_made_from_another_text_is_not_used(tmp_path: Path) -> None:
    stale = tmp_path / "stale.so"
    source = tmp_path / "follow.c"
    source.write_text(compiled.SOURCE.read_text(encoding="utf-8") + "\n/* changed */\n", encoding="utf-8")
    subprocess.run(["cc", "-shared", "-fPIC", '-DSOURCE="0"', "-o", stale, source], check=True)
    assert compiled.loaded(stale) is None


@pytest.mark.parametrize("content", [None, b"", b"no library at all"])
def test_what_is_no_library_is_not_used(tmp_path: Path, content: bytes | None) -> None:
    library = tmp_path / "_follow.so"
    if content is not None:
        library.write_bytes(content)
    assert compiled.loaded(library) is None
