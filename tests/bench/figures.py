"""All figures of speed, into DEVELOPERS.md: python tests/bench/figures.py [--part NAME]... [--quick].

Each part runs in a process of its own and its table is written as soon as it is done, between its markers, so
that a stop (Ctrl-C) loses only the part at work. `--quick` takes small sizes and few runs, to see that it
works, and prints the tables instead of writing them.
"""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
PAGE = HERE.parents[1] / "DEVELOPERS.md"
COMMAND = "python tests/bench/figures.py"

#: Name of a part: its script, its arguments, those with --quick, and what its figures mean.
PARTS: dict[str, tuple[str, list[str], list[str], str]] = {
    "process": (
        "part_process.py",
        ["11", "20000"],
        ["1", "300"],
        "Whole processes, user and system time together, in turns with the baseline; median of the ratios.",
    ),
    "completion": (
        "part_completion.py",
        ["3"],
        ["1"],
        "Whole processes, as a shell starts them when Tab is pressed; the names were asked for once before.",
    ),
    "codes": (
        "part_codes.py",
        ["100000"],
        ["5"],
        "In one process with the book in memory, processor time, the best of three.",
    ),
    "trials": (
        "part_trials.py",
        ["24"],
        ["4"],
        "Whole commands on all cores, their worker processes included. Few cases are drawn; a long run meets "
        "many situations again, and remembers what it decided.",
    ),
    "networks": (
        "part_networks.py",
        ["30"],
        ["2"],
        "Their models are built and compiled beforehand; ours starts from the evidence each time.",
    ),
    "growth": (
        "part_growth.py",
        ["1"],
        ["0.2"],
        "Causes cost most: the sets of up to three grow with the cube of their number until it passes 40, "
        "where sets of two begin. An observation made is one factor of the product over sets, and leaves "
        "less to look for. Each inspection on offer is one more way to go on at each step of a plan. Rules "
        "on other codes are never read.",
    ),
}


def main(arguments: list[str]) -> int:
    """Measure the parts that are asked for, or all."""
    quick = "--quick" in arguments
    asked = [arguments[at + 1] for at, word in enumerate(arguments[:-1]) if word == "--part"]
    unknown = sorted(set(asked) - set(PARTS))
    if unknown or len(arguments) != 2 * len(asked) + quick:
        print(f"usage: {COMMAND} [--part {'|'.join(PARTS)}]... [--quick]", file=sys.stderr)
        return 2
    try:
        for name in asked or PARTS:
            print(f"{name} ...", file=sys.stderr, flush=True)
            table = measured(name, quick)
            print(table) if quick else write(name, table)
    except KeyboardInterrupt:
        print("\nStopped; the parts before are written.", file=sys.stderr)
        return 130
    return 0


def measured(name: str, quick: bool) -> str:
    """Run one part and return its table."""
    script, full, small, meaning = PARTS[name]
    done = subprocess.run(
        [sys.executable, str(HERE / script), *(small if quick else full)], stdout=subprocess.PIPE, check=True
    )
    lines = [
        f"`{COMMAND} --part {name}` on {machine()}. {meaning}",
        "",
        "| figure | came | wanted |",
        "|---|---|---|",
    ]
    lines += [f"| {row['what']} | {row['came']} | {row['allowed']} |" for row in json.loads(done.stdout)]
    return "\n".join(lines)


def machine() -> str:
    """Return what the figures depend on besides the program."""
    system = f"{platform.system()} {platform.machine()}"
    return f"{os.cpu_count()} cores, Python {platform.python_version()}, {system}"


def write(name: str, table: str) -> None:
    """Put a table between its markers."""
    begin, end = f"<!-- figures: {name} -->\n", f"<!-- end of {name} -->"
    text = PAGE.read_text("utf-8")
    before, _, rest = text.partition(begin)
    _, found, after = rest.partition(end)
    if not found:
        raise SystemExit(f"{PAGE} has no markers {begin.strip()} and {end.strip()}")
    PAGE.write_text(before + begin + table + "\n" + end + after, encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
