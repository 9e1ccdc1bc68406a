"""What to do next: the inspection worth its cost, the tool worth its price, and the verdict with its reasons.

``problem``, ``moves``, ``steps``, ``ecr``, ``outlook`` and ``lookahead`` plan in plain numbers; the others
speak for the book.
"""

from proveout.plan.advice import triage
from proveout.plan.decide import Decision, decide
from proveout.plan.proof import is_proven

__all__ = ["Decision", "decide", "is_proven", "triage"]
