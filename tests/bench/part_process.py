"""Whole processes against the imports that none does without, and against the same with a shop layer."""

from __future__ import annotations

import importlib.util
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.made_book import write_book
from bench.measure import PROVEOUT, Row, give, paired, spent

CLICK = (sys.executable, "-c", "import click")
#: Without durable_rules the baseline is smaller and the ratios larger.
NEEDED = "import click, yaml, numpy" + (", durable.engine" if importlib.util.find_spec("durable") else "")
IMPORTS = (sys.executable, "-c", NEEDED)


def main(runs: int, shop_rules: int) -> None:
    """Measure and print the rows."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        caches = {"XDG_CACHE_HOME": name, "XDG_DATA_HOME": name}
        cases = {code: _case(home, code) for code in ("P0442", "P0300")}
        spent((*PROVEOUT, "triage", cases["P0442"]), caches)  # compiles the book where that is not done
        rows = []
        for code, allowed in (("P0442", 2.0), ("P0300", 3.0)):
            time, peak = paired((*PROVEOUT, "triage", cases[code]), IMPORTS, runs, caches)
            rows.append(Row(f"triage of {code}, time to that of `{NEEDED}`", f"{time:.2f} ×", f"{allowed} ×"))
            rows.append(Row(f"triage of {code}, peak memory to that of the same", f"{peak:.2f} ×", "2.5 ×"))
        for words, allowed in (("code P0442", 1.5), ("--help", 1.3)):
            time, _ = paired((*PROVEOUT, *words.split()), CLICK, runs, caches)
            rows.append(Row(f"`{words}`, time to that of `import click`", f"{time:.2f} ×", f"{allowed} ×"))
        (home / "proveout" / "first-looks").rename(home / "looks")
        (home / "proveout" / "first-looks").touch()  # nothing can be kept there
        time, _ = paired((*PROVEOUT, "code", "P0442"), CLICK, runs, caches)
        rows.append(Row("`code P0442` where it was never asked before, to the same", f"{time:.2f} ×"))
        give(rows + _shop(home, cases["P0442"], caches, runs, shop_rules))


def _case(home: Path, code: str) -> str:
    path = home / f"{code}.yaml"
    path.write_text(f"codes: [{code}]\n", encoding="utf-8")
    return str(path)


def _shop(home: Path, case: str, caches: dict[str, str], runs: int, rules: int) -> list[Row]:
    """Return what a shop layer of many rules on other codes adds to a triage, once compiled."""
    layer = home / "shop"
    causes = max(rules // 100, 2)
    written = write_book(layer, codes_=rules - causes, causes=causes, inspections=1, behind=1)
    command = (*PROVEOUT, "triage", case)
    compiling = spent((*command, "--rules", str(layer)), caches)
    time, peak = paired((*command, "--rules", str(layer)), command, runs, caches)
    what = f"triage of P0442 with a shop layer of {written:,} rules on other codes to that without"
    return [
        Row(f"{what}, time", f"{time:.2f} ×", "1.3 ×"),
        Row(f"{what}, peak memory", f"{peak:.2f} ×", "1.5 ×"),
        Row("compiling that layer once", f"{compiling.seconds:.1f} s, {compiling.peak:.0f} MiB"),
    ]


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
