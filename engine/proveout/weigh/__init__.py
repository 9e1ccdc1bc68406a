"""From what is known of a case to the probability of every set of causes, and why.

``infer`` goes the whole way. ``table`` says how one observable answers to causes, ``network`` which evidence
counts, ``posterior`` what follows, ``ledgers`` why, ``spoken`` and ``silent`` by which rules, and
``sensitivity`` what it hangs on. ``likelihood`` serves planning.
"""

from proveout.weigh.doubts import sensitivity
from proveout.weigh.inference import Inference, infer
from proveout.weigh.ledger import ledgers
from proveout.weigh.likelihoods import Rates, likelihood, likelihoods_of, rates_of
from proveout.weigh.networks import network
from proveout.weigh.posteriors import leading, place_of, posterior
from proveout.weigh.spoken import silent, spoken
from proveout.weigh.tables import table

__all__ = [
    "Inference",
    "Rates",
    "infer",
    "leading",
    "ledgers",
    "likelihood",
    "likelihoods_of",
    "network",
    "place_of",
    "posterior",
    "rates_of",
    "sensitivity",
    "silent",
    "spoken",
    "table",
]
