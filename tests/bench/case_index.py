"""Time the index over a directory of case files: make it, bring it up to date, list and find.

Run: ``python tests/bench/case_index.py [CASES]`` (100,000 where left out; the files take some 200 MB).
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

from proveout.record import casefile
from proveout.record.event import NO_PREVIOUS, seal, write
from proveout.record.header import HEADER
from proveout.record.index import CaseIndex, Query

T = TypeVar("T")
CAUSES = [f"cause-{number}" for number in range(60)]
CODES = [f"P{number:04}" for number in range(440, 460)]


def one_case(dice: random.Random) -> bytes:
    """Return a case file of four to six events; every second case is closed."""
    cause, at = dice.choice(CAUSES), f"2031-{dice.randint(1, 12):02}-{dice.randint(1, 28):02}T09:30:00Z"
    bodies: list[tuple[str, dict[str, Any]]] = [
        ("intake", {"vehicle": {"age_years": dice.randint(1, 25)}, "codes": [dice.choice(CODES)]}),
        ("reading", {"inspection": "look", "result": "good"}),
        (
            "advice",
            {"book": {"digest": "0" * 64}, "causes": [{"id": name, "confidence": 0.01} for name in CAUSES]},
        ),
        ("purchase", {"cause": dice.choice((cause, *CAUSES[:3])), "cost": dice.randint(5, 300)}),
    ]
    if dice.random() < 0.5:
        bodies += [("repair", {"cause": cause}), ("close", {"outcome": "confirmed", "cause": cause})]
    previous, parts = NO_PREVIOUS, [HEADER.encode()]
    for n, (kind, body) in enumerate(bodies, 1):
        event = seal(n, at, kind, previous, body)
        previous = event.digest
        parts.append(write(event))
    return b"".join(parts)


def timed(what: str, action: Callable[[], T]) -> T:
    """Run an action and print how long it took."""
    start = time.perf_counter()
    result = action()
    print(f"{what:<52} {time.perf_counter() - start:9.3f} s")
    return result


def main(count: int) -> None:
    """Write the cases and time everything."""
    dice = random.Random(1)
    kinds = [one_case(dice) for _ in range(500)]
    with TemporaryDirectory() as home:
        shop = Path(home)
        for number in range(count):
            folder = shop / f"{number // 1000:03}"
            folder.mkdir(exist_ok=True)
            (folder / f"case-{number}.yaml").write_bytes(dice.choice(kinds))
        index = CaseIndex(shop, Path(home) / "indexes")
        timed(f"make the index of {count} cases", index.refresh)
        timed("bring it up to date, nothing changed", index.refresh)
        casefile.append(shop / "000" / "case-1.yaml", "note", {"text": "on"}, "2031-12-30T09:30:00Z")
        timed("bring it up to date, one changed", index.refresh)
        queries = {
            "list the last 50": Query(limit=50),
            "find by code, open": Query(code="P0442", closed=False, limit=50),
            "find by cause, closed": Query(cause="cause-7", closed=True, limit=50),
            "find by words": Query(vehicle="case-777 y", limit=50),
            "the 50 that cost most in wrong parts": Query(order="wrong_cost", limit=50),
        }
        for what, query in queries.items():
            rows = timed(what, lambda query=query: index.find(query))  # type: ignore[misc]
            assert rows, what
        timed("totals by outcome and cause", index.totals)
        sizes = [path.stat().st_size for path in shop.glob("*/case-*.yaml")]
        base = sum(path.stat().st_size for path in (Path(home) / "indexes").glob("*.sqlite"))
        print(f"files: {sum(sizes) / 1e6:.0f} MB; index: {base / 1e6:.0f} MB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
