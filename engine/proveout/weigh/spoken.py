"""Which rules speak in the ledgers, and which hold and are silent: read off the evidence."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.belief import Network
from proveout.model.book import Book
from proveout.model.chained import Chained
from proveout.model.rule import Rule
from proveout.model.trace import BACKGROUND, OVERRULED, Silent, Spoken
from proveout.weigh.cpts import CPTs, cpts_of, figures_of


def spoken(network: Network) -> tuple[Spoken, ...]:
    """Return the rules that stand in the ledgers of a network, sorted; none where no cause is in play."""
    found = []
    for evidence in network.evidence if network.priors else ():
        spoke = evidence.cpt.spoke
        for rule in {rule for rules in spoke.values() for rule in rules}:
            causes = tuple(cause for cause in network.priors if rule in spoke.get(cause, ()))
            background = rule in spoke.get(BACKGROUND, ())
            if causes or background:
                found.append(Spoken(rule, evidence.cpt.observable, causes, background))
    return tuple(sorted(found))


def silent(book: Book, chained: Chained, network: Network, speaking: Iterable[Spoken]) -> tuple[Silent, ...]:
    """Return the rules that hold and give some figure that does not count, sorted.

    Args:
        book: the rules.
        chained: those that hold.
        network: what speaks.
        speaking: the rules that do, as ``spoken`` gives them.
    """
    cpts = cpts_of(book, chained.facts, chained.applying)
    heard = {(one.rule, figure) for one in speaking for figure in one.figures}
    groups: dict[tuple[str, str, str], list[str]] = {}
    for fired in chained.fired:
        rule = book.rules[fired.rule]
        for figure in figures_of(rule):
            if (rule.id, figure) not in heard and (why := _why(cpts, network, rule, figure)):
                groups.setdefault((rule.id, *why), []).append(figure)
    return tuple(
        sorted(
            Silent(rule, how, by, tuple(sorted(f for f in lost if f != BACKGROUND)), BACKGROUND in lost)
            for (rule, how, by), lost in groups.items()
        )
    )


def _why(cpts: CPTs, network: Network, rule: Rule, figure: str) -> tuple[str, str] | None:
    """Return how a figure of a rule that holds was silenced and by what; None where nothing observed it."""
    if rule.observes is None or rule.observable is None:
        return None
    speaker = cpts.speaker(rule.observes, figure)
    if speaker.id != rule.id:
        return OVERRULED, speaker.id
    if rule.observable not in network.silenced:
        return None
    how, finding = network.silenced[rule.observable]
    return how, finding.key
