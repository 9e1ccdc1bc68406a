"""What becomes of repair verdicts when direct evidence against them is added.

Run: ``python tests/bench/contradicted.py [300]`` with ``tests`` and ``engine`` on the path; half a minute.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers_contradicted import contradicted


def main() -> int:
    """Print how many verdicts stayed, with and without a word; give 1 where one stayed without."""
    outcomes = contradicted(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
    for what, count in sorted(outcomes.items()):
        print(f"{count:>5}  {what}")
    return min(1, len(outcomes.silent))


if __name__ == "__main__":
    sys.exit(main())
