"""The size of the shipped book, and in how many files a cause is named; prints both and the longest files.

python tests/bench/book_size.py
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers_size import named_in, rule_files
from proveout.book.shipped import rules_dir


def main() -> None:
    """Measure and print."""
    texts, files = rule_files(), sorted(named_in().values())
    size = sum(len(text.encode()) for text in texts.values())
    print(f"{len(texts)} files, {size / 1e6:.2f} MB")
    print(f"{len(files)} causes, each named in {median(files):g} files (median), {files[-1]} at most")
    longest = sorted(((text.count("\n"), path) for path, text in texts.items()), reverse=True)
    for lines, path in longest[:8]:
        print(f"{lines:5} lines  {path.relative_to(rules_dir())}")


if __name__ == "__main__":
    main()
