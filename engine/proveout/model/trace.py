"""The trace of weighing: which rules speak in the ledgers, and which hold and are silent, with by what."""

from __future__ import annotations

from msgspec import Struct

from proveout.model.atom import Observable

#: Why a rule that holds gives no figure: a more specific rule gives it; the observation is subsumed into a
#: finding that speaks for it; or the finding weighed shares observations with another that subsumes more.
#: Their words are those of kept documents.
OVERRULED, SUBSUMED, GAVE_WAY = "overruled", "absorbed", "gave-way"

#: Stands among the causes for the background, P(state | none of the named causes).
BACKGROUND = ""


class Spoken(Struct, frozen=True, order=True):
    """A rule that gives figures of the ledgers.

    A rule on a state that was not seen speaks, too: it tells how likely it was not to be seen.

    Attributes:
        rule: its id.
        observable: what was looked at in the lines of the ledgers where it stands; for a rule on something
            that a finding subsumes, the finding.
        causes: those in play of which it gives the figure, sorted.
        background: whether it gives the figure of none of the named causes, which stands in every ledger.
    """

    rule: str
    observable: Observable
    causes: tuple[str, ...]
    background: bool = False

    @property
    def figures(self) -> tuple[str, ...]:
        """The causes, and ``BACKGROUND`` where it gives that."""
        return (*self.causes, BACKGROUND) if self.background else self.causes


class Silent(Struct, frozen=True, order=True):
    """A rule that holds, and of whose figures some do not count.

    Attributes:
        rule: its id.
        how: ``OVERRULED``, ``SUBSUMED`` or ``GAVE_WAY``.
        by: id of the rule that overrules it, or of the finding that speaks instead.
        causes: those of which its figure does not count, sorted.
        background: whether the figure of none of the named causes is one of those that do not count.
    """

    rule: str
    how: str
    by: str
    causes: tuple[str, ...]
    background: bool = False
