"""The book's check, its trials, and simulated cases: processor seconds of the whole command, on all cores."""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.measure import PROVEOUT, Row, give, spent


def main(cases: int) -> None:
    """Measure and print the rows."""
    with tempfile.TemporaryDirectory() as home:
        caches = {"XDG_CACHE_HOME": home, "XDG_DATA_HOME": home}
        check = spent((*PROVEOUT, "rules", "check"), caches)
        spent((*PROVEOUT, "code", "P0442"), caches)  # compiles the book where that is not done
        test = spent((*PROVEOUT, "rules", "test"), caches)
        began = time.perf_counter()
        drawn = spent((*PROVEOUT, "rules", "simulate", "--cases", str(cases)), caches)
        minutes = (time.perf_counter() - began) / 60
    assert check.code == test.code == drawn.code == 0, (check, test, drawn)
    give(
        [
            Row("`rules check` from scratch, processor time", f"{check.seconds:.1f} s", "4 s"),
            Row("`rules test`, processor time", f"{test.seconds:.1f} s", "30 s"),
            Row(f"simulated cases a minute, all families ({cases} drawn)", f"{cases / minutes:.0f}", "500"),
            Row("processor time of a simulated case", f"{drawn.seconds / cases:.1f} s", "0.24 s"),
        ]
    )


if __name__ == "__main__":
    main(int(sys.argv[1]))
