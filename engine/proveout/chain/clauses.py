"""Concluding rules as durable_rules gets them: conjunctions of tokens, in rulesets below its limits.

Every limit here guards against a fault of durable_rules 2.0.28 that tests/unit/test_chain_faults.py shows.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct, field

from proveout.chain.stages import Stage, finding
from proveout.model.atom import Atom
from proveout.model.problem import EngineError
from proveout.model.rule import Rule

#: Most clauses of one ruleset.
MOST_CLAUSES = 300
#: Most atoms of one ruleset: at 512 distinct values asserting hangs, at 513 compiling does.
MOST_ATOMS = 400
#: Most clauses of one ruleset that mention the same atom: at 256 the process crashes or hangs.
MOST_MENTIONS = 200
#: Most rulesets of a stage: all are in memory at once, each with about 10 KiB a condition.
MOST_RULESETS = 10

#: Stands for "in any case" in the clause of a rule that needs nothing; the library never fires an empty one.
ALWAYS = Atom("always", "", "")


class Clause(Struct, frozen=True):
    """Atoms that must hold together, and the rules that fire when they do."""

    atoms: tuple[Atom, ...]
    rules: tuple[Rule, ...]


class Pack(Struct):
    """Clauses that go into one ruleset, and how often they mention each atom."""

    clauses: list[Clause] = field(default_factory=list)
    mentions: dict[Atom, int] = field(default_factory=dict)

    def takes(self, clause: Clause) -> bool:
        """Say whether a clause can be added within the limits."""
        new = sum(1 for atom in clause.atoms if atom not in self.mentions)
        return (
            len(self.clauses) < MOST_CLAUSES
            and len(self.mentions) + new <= MOST_ATOMS
            and all(self.mentions.get(atom, 0) < MOST_MENTIONS for atom in clause.atoms)
        )

    def add(self, clause: Clause) -> None:
        """Add a clause."""
        self.clauses.append(clause)
        for atom in clause.atoms:
            self.mentions[atom] = self.mentions.get(atom, 0) + 1


def packs_for(stage: Stage, facts: frozenset[Atom]) -> tuple[Pack, ...]:
    """Pack the rules of a stage that a case can touch.

    Raises:
        EngineError: the stage needs more rulesets than ``MOST_RULESETS``.
    """
    packs: list[Pack] = []
    for clause in _clauses(_touched(stage, facts)):
        if not packs or not packs[-1].takes(clause):
            packs.append(Pack())
        packs[-1].add(clause)
    if len(packs) > MOST_RULESETS:
        raise EngineError(
            f"the case touches more rules than durable_rules can hold at once "
            f"({len(packs)} rulesets, at most {MOST_RULESETS}); use the reference engine"
        )
    return tuple(packs)


def _touched(stage: Stage, facts: frozenset[Atom]) -> list[Rule]:
    """Return the rules that some fact, or some finding that a touched rule may conclude, bears upon.

    Whether they fire is left to the engine. Negated atoms are settled before the stage, so a rule of which
    one holds is left out here.
    """
    touched: dict[str, Rule] = {}
    known = set(facts)
    agenda = list(facts)

    def touch(rules: Iterable[Rule]) -> None:
        for rule in rules:
            if rule.id in touched or any(atom in facts for atom in rule.when.none_of):
                continue
            touched[rule.id] = rule
            if rule.concludes and (atom := finding(rule.concludes)) not in known:
                known.add(atom)
                agenda.append(atom)

    touch(stage.free)
    while agenda:
        touch(stage.mentions.get(agenda.pop(), ()))
    return [touched[name] for name in sorted(touched)]


def _clauses(rules: Iterable[Rule]) -> list[Clause]:
    """Split rules into clauses, one an alternative; those that need the same share one.

    An atom that stands twice in a rule is asked for once: the library matches one fact with one condition.
    """
    sharing: dict[tuple[Atom, ...], list[Rule]] = {}
    for rule in rules:
        needed = frozenset(rule.when.all_of)
        sets = {needed | {one} for one in rule.when.any_of} if rule.when.any_of else {needed}
        for atoms in sets:
            sharing.setdefault(tuple(sorted(atoms or {ALWAYS})), []).append(rule)
    return [Clause(atoms, tuple(users)) for atoms, users in sorted(sharing.items())]
