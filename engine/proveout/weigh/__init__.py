"""From what is known of a case to the probability of every set of causes, and why.

``infer`` goes the whole way. ``table`` says how one observable answers to causes, ``network`` which evidence
counts, ``posterior`` what follows, ``ledgers`` why, ``spoken`` and ``silent`` by which rules, and
``sensitivity`` what it hangs on. ``likelihood`` serves planning.
"""

from proveout.weigh.doubts import sensitivity
from proveout.weigh.inference import Inference, infer
from proveout.weigh.ledger import ledgers
from proveout.weigh.likelihoods import likelihood
from proveout.weigh.networks import network
from proveout.weigh.posteriors import leading, posterior
from proveout.weigh.spoken import silent, spoken
from proveout.weigh.tables import table

__all__ = [
    "Inference",
    "infer",
    "leading",
    "ledgers",
    "likelihood",
    "network",
    "posterior",
    "sensitivity",
    "silent",
    "spoken",
    "table",
]
