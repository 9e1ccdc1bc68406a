"""A made-up shop of which the truth is known, and closed cases drawn from it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from helpers_record import at
from proveout.record.event import Event

#: Eight causes; what the book says and what is true of each: base rate, and how often its inspection fails.
CAUSES = tuple(f"cause-{letter}" for letter in "abcdefgh")
BOOK_RATES = (0.20, 0.18, 0.15, 0.12, 0.10, 0.09, 0.08, 0.06)
TRUE_RATES = (0.26, 0.12, 0.17, 0.14, 0.08, 0.11, 0.05, 0.07)
BOOK_FAILS, TRUE_FAILS = 0.85, (0.95, 0.70, 0.90, 0.80, 0.60, 0.92, 0.88, 0.75)
BOOK_FALSE, TRUE_FALSE = 0.03, 0.06
#: The look is abnormal in two ways; how often for the first two causes, and for the others.
BOOK_LOOK = {"cause-a": (0.5, 0.2), "cause-b": (0.1, 0.6)}
TRUE_LOOK = {"cause-a": (0.35, 0.3), "cause-b": (0.2, 0.45)}
BOOK_LOOK_FALSE, TRUE_LOOK_FALSE = (0.02, 0.02), (0.05, 0.01)

#: How often the second code is set for the first three causes, and for the others.
BOOK_CODE, TRUE_CODE = 0.4, (0.7, 0.25, 0.5)
BOOK_CODE_FALSE, TRUE_CODE_FALSE = 0.001, 0.004
#: Share of cases that say which monitors have run; in the others a code is written down where it is set.
MONITORS_READ = 0.6

_CAUSE = """\
  - id: {cause}
    title: {cause}
    component: part-of-{cause}
    base_rate: {rate:g} per 1000
    base_rate_source: from memory
    remedy: {{action: replace, part: part, part_cost: 10..20, minutes: 5}}
"""
_INSPECTION = """\
  - id: {name}
    title: {name}
    kind: visual
    minutes: 5
    results:
      good: {{is: normal, means: Good.}}
{bad}\
    steps: [Look.]
    source: common practice, no source
"""
_CODE = """\
  - id: {code}
    meaning: A leak.
    family: evap
{monitor}\
    source: from memory
{row}\
"""


def write_shop(home: Path) -> Path:
    """Write the book of the made-up shop."""
    home.mkdir(parents=True)
    parts = "".join(f"  - {{id: part-of-{cause}, title: Part}}\n" for cause in CAUSES)
    rates = zip(CAUSES, BOOK_RATES, strict=True)
    causes = "".join(_CAUSE.format(cause=cause, rate=rate * 1000) for cause, rate in rates)
    codes = _CODE.format(code="P0442", monitor="", row=_row(4, dict.fromkeys(CAUSES, 0.5), 0.001))
    second = _row(4, dict.fromkeys(CAUSES[:3], BOOK_CODE), BOOK_CODE_FALSE)
    codes += _CODE.format(code="P0455", monitor="    monitor: evap\n", row=second)
    looks = {
        result: ({cause: given[i] for cause, given in BOOK_LOOK.items()}, BOOK_LOOK_FALSE[i])
        for i, result in enumerate(("torn", "wet"))
    }
    inspections = _inspection("look", "cause-a", looks)
    for cause in CAUSES:
        inspections += _inspection(f"test-{cause}", cause, {"bad": ({cause: BOOK_FAILS}, BOOK_FALSE)})
    sections = {"components": parts, "causes": causes, "codes": codes, "inspections": inspections}
    text = "".join(f"{name}:\n{entries}" for name, entries in sections.items())
    (home / "made-up.yaml").write_text(text, encoding="utf-8")
    return home


def _inspection(name: str, shown: str, results: dict[str, tuple[dict[str, float], float]]) -> str:
    """Return an inspection of which the first abnormal result shows a cause."""
    lines = ""
    for word, (weights, otherwise) in results.items():
        shows = f"        shows: [{shown}]\n" if not lines else ""
        lines += f"      {word}:\n        is: abnormal\n        means: Bad.\n{shows}"
        lines += _row(8, weights, otherwise) + f"{' ' * 8}source: common practice, no source\n"
    return _INSPECTION.format(name=name, bad=lines)


def _row(indent: int, weights: dict[str, float], otherwise: float) -> str:
    seen = ", ".join(f"{cause}: {weight}" for cause, weight in weights.items())
    lines = (f"seen_with: {{{seen}}}", f"otherwise: {otherwise}", "because: So it is.")
    return "".join(f"{' ' * indent}{line}\n" for line in lines)


def chance(own: float, false: float) -> float:
    """Return how often a result of one kind comes where the cause and the background both can give it."""
    return 1 - (1 - own) * (1 - false)


def closed_cases(count: int, seed: int) -> Iterator[tuple[Event, ...]]:
    """Draw closed, confirmed cases from the truth; a forecast is recorded in each."""
    dice = random.Random(seed)
    for _ in range(count):
        cause = dice.choices(CAUSES, TRUE_RATES)[0]
        readings = [_test(dice, cause, name) for name in dice.sample(CAUSES, 3)] + [_look(dice, cause)]
        confidence = dice.choice((0.3, 0.6, 0.9))
        right = dice.random() < confidence
        lead = cause if right else next(name for name in CAUSES if name != cause)
        bodies: list[tuple[str, dict[str, Any]]] = [
            ("intake", _intake(dice, cause)),
            *(("reading", reading) for reading in readings),
            ("advice", {"causes": [{"id": lead, "confidence": confidence}, {"id": "x", "confidence": 0.01}]}),
            ("repair", {"cause": cause}),
            ("close", {"outcome": "confirmed", "cause": cause}),
        ]
        yield tuple(Event(n, at(1), kind, "", body, "") for n, (kind, body) in enumerate(bodies, 1))


def _intake(dice: random.Random, cause: str) -> dict[str, list[str]]:
    own = dict(zip(CAUSES, TRUE_CODE, strict=False)).get(cause, 0.0)
    codes = ["P0442", "P0455"] if dice.random() < chance(own, TRUE_CODE_FALSE) else ["P0442"]
    return {"codes": codes, "monitors_run": ["evap"] if dice.random() < MONITORS_READ else []}


def _test(dice: random.Random, cause: str, tested: str) -> dict[str, str]:
    own = TRUE_FAILS[CAUSES.index(tested)] if tested == cause else 0.0
    bad = dice.random() < chance(own, TRUE_FALSE)
    return {"inspection": f"test-{tested}", "result": "bad" if bad else "good"}


def _look(dice: random.Random, cause: str) -> dict[str, str]:
    torn, wet = TRUE_LOOK.get(cause, TRUE_LOOK_FALSE)
    drawn = dice.random()
    return {
        "inspection": "look",
        "result": "torn" if drawn < torn else "wet" if drawn < torn + wet else "good",
    }
