"""durable_rules behind a guard for each of its faults.

The library decides which clauses hold; everything that it gets wrong is kept away from it. It sees only
positive conjunctions of tokens; its actions only write down that they ran; findings are asserted here, one
by one, when the trace shows them. Rulesets live for one stage of one run, so nothing is ever withdrawn from
them and no session outlives its case.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from itertools import count
from typing import Any

from durable import engine as durable_engine

from proveout.chain.clauses import ALWAYS, Clause, Pack, packs_for
from proveout.chain.stages import Stage, finding
from proveout.model.atom import Atom
from proveout.model.problem import EngineError

#: The one field of every fact. Values are tokens such as ``t17``, so that no reserved name, dot, escape,
#: number or truth value ever reaches the library.
_FIELD = "token"

#: The one session of each ruleset. Rulesets are not shared between runs, hence neither are sessions.
_SESSION = "case"

#: Facts are told apart by ids of our own, ``f0000`` and so on. Left alone, the library takes two facts for
#: one where 32-bit hashes of theirs are equal; these ids, up to this many, all have different ones.
MOST_FACTS = 10_000

#: How often a fact that is wrongly called known already is told again, each time under a new id.
_TRIES = 3

_C = durable_engine.durable_rules_engine


class _Host(durable_engine.Host):  # type: ignore[misc]  # the library has no annotations
    """A host without the two timer threads of the library, which would run until the process ends."""

    def _run(self) -> None:
        """Start nothing."""


class _Ruleset:
    """One pack, compiled: tell it atoms, and it says which clauses fired.

    Attributes:
        mentions: the atoms that any clause mentions.
    """

    def __init__(self, pack: Pack, name: str) -> None:
        self.mentions = pack.mentions
        self._name = name
        self._clauses = pack.clauses
        self._token = {atom: f"t{n}" for n, atom in enumerate(pack.mentions)}
        self._ids = count()
        self._fired: list[int] = []
        self._seen: list[str] = []
        self._errors: list[BaseException] = []
        self._settled = False
        self._host = _Host({name: self._definition()})

    def tell(self, atom: Atom) -> list[Clause]:
        """Assert an atom and give the clauses that it completes.

        Raises:
            EngineError: the library lost or refused the fact, or an action failed.
        """
        token = self._token[atom]
        self._assert(token)
        if self._errors:
            raise self._errors.pop()
        if self._seen != [token]:
            raise EngineError(f"durable_rules lost the fact {atom}")
        self._seen.clear()
        done = [self._clauses[n] for n in self._fired]
        self._fired.clear()
        return done

    def drop(self) -> None:
        """Free the session and the ruleset, which the library itself never does.

        A session in which no action has run is left alone: freeing it crashes the process.
        """
        if self._settled:
            self._host.delete_state(self._name, _SESSION)
        _C.delete_ruleset(self._host.get_ruleset(self._name)._handle)

    def _definition(self) -> dict[str, Any]:
        """Write the clauses in the library's own form, and one that catches every fact.

        The last one makes sure that each fact is matched, else it would be dropped with an exception; that an
        action runs in the session; and that we see each fact arrive.
        """
        rules: dict[str, Any] = {}
        for n, clause in enumerate(self._clauses):
            wanted = [{f"m{i}": {_FIELD: self._token[atom]}} for i, atom in enumerate(clause.atoms)]
            rules[f"r{n}"] = {"all": wanted, "run": self._action(partial(self._note_fired, n))}
        rules["arrived"] = {"all": [{"m": {"$ex": {_FIELD: 1}}}], "run": self._action(self._note_arrived)}
        return rules

    def _note_fired(self, clause: int, _: Any) -> None:
        """Write down that a clause holds."""
        self._fired.append(clause)

    def _note_arrived(self, closure: Any) -> None:
        """Write down that a fact arrived."""
        self._seen.append(closure.m[_FIELD])

    def _action(self, note: Callable[[Any], None]) -> Callable[[Any], None]:
        """Wrap a note into an action that keeps its error, since the library would swallow it."""

        def act(closure: Any) -> None:
            try:
                note(closure)
            except BaseException as error:
                self._errors.append(error)

        return act

    def _assert(self, token: str) -> None:
        """Assert one fact, under a new id if the library mistakes it for another."""
        for _ in range(_TRIES):
            fact = {_FIELD: token, "sid": _SESSION, "id": self._new_id()}
            try:
                state = self._host.assert_fact(self._name, fact)
            except durable_engine.MessageObservedException:
                continue
            except (durable_engine.MessageNotHandledException, _C.error) as error:
                raise EngineError(f"durable_rules refused a fact: {error}") from error
            if not isinstance(state, dict) or "exception" in state:
                raise EngineError(
                    "durable_rules broke off the actions of a fact (it allows 10 s by the clock)"
                )
            self._settled = True
            return
        raise EngineError("durable_rules takes a new fact for one that it knows")

    def _new_id(self) -> str:
        """Return an id that no other fact of this session has."""
        number = next(self._ids)
        if number >= MOST_FACTS:
            raise EngineError(f"the case has more facts than durable_rules can tell apart ({MOST_FACTS})")
        return f"f{number:04d}"


def run(stage: Stage, facts: frozenset[Atom]) -> tuple[frozenset[str], frozenset[Atom]]:
    """Close facts under the rules of a stage; all its rulesets are told each finding.

    Returns:
        The ids of the rules that fired, and the facts with the findings concluded.

    Raises:
        EngineError: the library failed, or the case is beyond its limits.
    """
    packs = packs_for(stage, facts)
    return _saturate(packs, facts) if packs else (frozenset(), facts)


def _saturate(packs: Sequence[Pack], facts: frozenset[Atom]) -> tuple[frozenset[str], frozenset[Atom]]:
    """Tell the rulesets every fact, then every finding that comes of it, each once."""
    known = set(facts)
    fired: set[str] = set()
    agenda = [*sorted(facts), ALWAYS]
    with _compiled(packs) as rulesets:
        while agenda:
            for rule in _told(rulesets, agenda.pop()):
                fired.add(rule.id)
                if rule.concludes and (atom := finding(rule.concludes)) not in known:
                    known.add(atom)
                    agenda.append(atom)
    return frozenset(fired), frozenset(known)


def _told(rulesets: Iterable[_Ruleset], atom: Atom) -> Iterator[Any]:
    """Tell an atom to the rulesets that mention it and give the rules that fire."""
    for ruleset in rulesets:
        if atom in ruleset.mentions:
            for clause in ruleset.tell(atom):
                yield from clause.rules


@contextmanager
def _compiled(packs: Iterable[Pack]) -> Iterator[list[_Ruleset]]:
    """Compile packs, and free them whatever happens.

    Meanwhile Python 3.12 is kept from warning, at every action, of how the library asks for the time.
    """
    rulesets: list[_Ruleset] = []
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", r"datetime\.datetime\.utcfromtimestamp", DeprecationWarning)
        try:
            for n, pack in enumerate(packs):
                rulesets.append(_Ruleset(pack, f"stage{n}"))
            yield rulesets
        except _C.error as error:
            raise EngineError(f"durable_rules refused the rules: {error}") from error
        finally:
            for ruleset in rulesets:
                ruleset.drop()
