"""How long a shell waits for a completion: each shell, each kind of name, as it asks when Tab is pressed."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.measure import PROVEOUT, Row, give, spent

CLICK = (sys.executable, "-c", "import click")
SHELLS = ("bash", "zsh", "fish", "powershell")
#: What is completed, as it is typed.
TYPED = {
    "command": "proveout tri",
    "option": "proveout triage --f",
    "code": "proveout code P044",
    "symptom": "proveout amend car.yaml --symptom rough",
    "inspection": "proveout steps car.yaml cap-sea",
    "cause": "proveout why car.yaml purge-valve",
    "case file": "proveout triage ca",
}


def main(runs: int) -> None:
    """Measure and print the rows."""
    with tempfile.TemporaryDirectory() as name:
        os.chdir(name)
        places = {"XDG_CACHE_HOME": name, "XDG_DATA_HOME": name}
        spent((*PROVEOUT, "intake", "car.yaml", "--code", "P0442"), places)
        rows = []
        for shell in SHELLS:
            took = {kind: _took(asked(shell, line), places, runs) for kind, line in TYPED.items()}
            worst = max(took, key=lambda kind: took[kind][0])
            shown = ", ".join(f"{kind} {seconds * 1000:.0f}" for kind, (seconds, _) in took.items())
            rows.append(Row(f"{shell}: processor time in ms, median", shown, "each under 100"))
            ratio = took[worst][0] / _took({}, places, runs, CLICK)[0]
            rows.append(Row(f"{shell}: the dearest of them, {worst}, to `import click`", f"{ratio:.2f} ×"))
            waited = statistics.median(wall for _, wall in took.values())
            rows.append(Row(f"{shell}: waited by the clock, median of all, ms", f"{waited * 1000:.0f}"))
        give(rows)


def asked(shell: str, line: str) -> dict[str, str]:
    """Return the environment by which a shell asks for what a line may become."""
    words = line.split(" ")
    found = {"_PROVEOUT_COMPLETE": f"{shell}_complete", "COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1)}
    if shell == "fish":
        found["COMP_CWORD"] = words[-1]
    if shell == "powershell":
        found |= {"COMP_WORDS": "\n".join(words), "COMP_CWORD": words[-1]}
    return found


def _took(
    question: Mapping[str, str], places: Mapping[str, str], runs: int, command: tuple[str, ...] = PROVEOUT
) -> tuple[float, float]:
    """Return the medians of processor seconds and of seconds by the clock; the first run is not counted."""
    environment = {**places, **question}
    if question:
        answer = subprocess.run(
            command, env={**os.environ, **environment}, capture_output=True, text=True, check=True
        )
        assert answer.stdout.strip(), question
    seconds, walls = [], []
    for _ in range(runs):
        began = time.perf_counter()
        seconds.append(spent(command, environment).seconds)
        walls.append(time.perf_counter() - began)
    return statistics.median(seconds), statistics.median(walls)


if __name__ == "__main__":
    main(int(sys.argv[1]))
