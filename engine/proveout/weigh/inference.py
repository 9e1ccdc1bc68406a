"""The one way from what is known of a case to what is believed of it: chain, gather evidence, weigh."""

from __future__ import annotations

from msgspec import Struct

from proveout.chain.closing import close
from proveout.model.belief import Network, Posterior
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.chained import Chained
from proveout.weigh.fitting import fitted
from proveout.weigh.networks import network
from proveout.weigh.posteriors import posterior
from proveout.weigh.single import on_one_thread


class Inference(Struct, frozen=True):
    """What follows from a case, each step with what it was made from.

    Attributes:
        chained: the closed set of facts and the rules that hold.
        network: the evidence that counts and the causes in play.
        posterior: the probability of every set of them.
    """

    chained: Chained
    network: Network
    posterior: Posterior


@on_one_thread
def infer(book: Book, sheet: Sheet, engine: str | None = None) -> Inference:
    """Return what follows from a case, by the rules of the book that fit its vehicle.

    Args:
        book: the compiled book.
        sheet: what is known.
        engine: name of the chainer, or None for the default.
    """
    book = fitted(book, sheet)
    chained = close(book, sheet.atoms, engine)
    problem = network(book, sheet, chained)
    return Inference(chained, problem, posterior(problem))
