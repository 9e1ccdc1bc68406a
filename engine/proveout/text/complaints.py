"""Located problems as a plain JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proveout.model.problem import Problem


def problems_document(problems: Sequence[Problem]) -> dict[str, Any]:
    """Return located problems as a document of schema ``proveout/problems/1``."""
    return {
        "schema": "proveout/problems/1",
        "problems": [
            {
                "file": problem.place.file,
                "line": problem.place.line,
                "column": problem.place.column,
                "check": problem.check,
                "severity": problem.severity,
                "saw": problem.saw,
                "expected": problem.expected,
                "mend": problem.mend,
            }
            for problem in problems
        ],
    }
