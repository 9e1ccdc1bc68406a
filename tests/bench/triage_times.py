"""How long a triage takes in process, the book loaded: every weighed code alone, no tools and no vehicle.

    python tests/bench/triage_times.py [chainer]

Milliseconds of processor time of the whole call, the best of three, after one round to warm up. Beside it
stand the same figures as multiples of a fixed piece of numpy work done in the same run, so that two machines,
or a busy and a quiet one, can be compared.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np

from proveout.book import load_book
from proveout.intake import case_of, sheet_of
from proveout.plan import triage
from proveout.trial.simulate import weighed_codes


def best(job: Callable[[], object], runs: int = 3) -> float:
    """Return the least processor time of some runs, in milliseconds."""
    times = []
    for _ in range(runs):
        begun = time.process_time()
        job()
        times.append(time.process_time() - begun)
    return 1000.0 * min(times)


def yardstick() -> None:
    """Do a fixed piece of work of the planner's kind: a hundred small products and passes over them."""
    left, right = np.ones((200, 100)), np.ones((100, 120))
    for _ in range(100):
        np.minimum((left @ right)[:, :60], 1.0).argmax(axis=1)


def main(engine: str | None) -> None:
    """Print the median, the mean and the dearest codes."""
    book = load_book()
    sheets = {code: sheet_of(case_of({"codes": [code]}, book), book) for code in weighed_codes(book)}

    def answer(code: str) -> Callable[[], object]:
        case = case_of({"codes": [code]}, book)
        return lambda: triage(book, sheets[code], tools=frozenset(), costs=case.costs, engine=engine)

    for code in sheets:
        answer(code)()
    unit = best(yardstick, 20)
    times = {code: best(answer(code)) for code in sheets}
    every = np.array(list(times.values()))
    print(f"{len(times)} codes; one unit of work takes {unit:.2f} ms here\n{'':<10}{'ms':>8}{'units':>8}")
    for name, value in (
        ("median", np.median(every)),
        ("mean", every.mean()),
        ("90 %", np.quantile(every, 0.9)),
    ):
        print(f"{name:<10}{value:>8.1f}{value / unit:>8.2f}")
    for code in sorted(times, key=times.__getitem__, reverse=True)[:5]:
        print(f"{code:<10}{times[code]:>8.1f}{times[code] / unit:>8.2f}")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else None)
