"""Rule examples, expected cases and simulations run against the book."""

from proveout.trial.cases import differences, try_case
from proveout.trial.examples import example_names, try_examples
from proveout.trial.outcome import ERROR, FAILED, PASSED, Outcome, count

__all__ = [
    "ERROR",
    "FAILED",
    "PASSED",
    "Outcome",
    "count",
    "differences",
    "example_names",
    "try_case",
    "try_examples",
]
