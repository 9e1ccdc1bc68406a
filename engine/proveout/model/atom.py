"""Atoms: the flat, typed, string-only facts that rules speak about.

An atom is a triple of strings, so that no engine ever meets a number: thresholds are decided before
chaining and enter as atoms of their own.
"""

from __future__ import annotations

from typing import NamedTuple

from msgspec import Struct

#: The kinds of atom. The observable ones can be weighed; the others are context.
CODE = "code"  # key: the code; value "set"
STATUS = "status"  # context; key: the code; value confirmed | pending | permanent
SYMPTOM = "symptom"  # key: symptom id; value "present"
HAPPENS = "happens"  # key: circumstance id; value "present"
RESULT = "result"  # key: inspection id; value: result id
FINDING = "finding"  # key: finding id; value "true"; observable where a rule weighs it, else context
WORK = "work"  # context; key: recent-work id; value "done"
REPLACED = "replaced"  # context; key: component id; value "done"
WATCH = "watch"  # key: id of a cause that was mended; value "comes-back"; not for rules
FACT = "fact"  # context; key: predicate such as "vehicle.age at_least 12 y"; value "true"

#: Kinds of which a rule may weigh exactly one in its ``when``.
OBSERVABLE_KINDS = frozenset({CODE, SYMPTOM, HAPPENS, RESULT, FINDING})

#: The value that every observable takes when nothing is amiss.
NORMAL = "normal"

#: What was seen after something was mended: the trouble stayed away, or came back.
STAYS_AWAY, COMES_BACK = "stays-away", "comes-back"

#: A result that every inspection accepts: it was tried and told nothing. It is no evidence.
CANNOT_TELL = "cannot-tell"


class Atom(NamedTuple):
    """One fact: kind, key and value, all text."""

    kind: str
    key: str
    value: str

    def __str__(self) -> str:
        """Return a compact form such as ``result purge-valve-holds-vacuum=leaks``."""
        return f"{self.kind} {self.key}={self.value}"


class Observable(NamedTuple):
    """What can be seen in one of several states: a code, symptom, circumstance, inspection or finding."""

    kind: str
    key: str

    def __str__(self) -> str:
        """Return a compact form such as ``code P0442``."""
        return f"{self.kind} {self.key}"


def observable_of(atom: Atom) -> Observable:
    """Return the observable of which the atom is one state."""
    return Observable(atom.kind, atom.key)


class Observation(Struct, frozen=True, array_like=True):
    """What was seen of one observable.

    Attributes:
        observable: what was looked at.
        states: (state, weight) pairs; weights are positive and sum to 1. One pair when the matter is
            decided; several when a reading is too near a limit for the instrument.
            For codes the states are ``set`` and ``normal``, for symptoms and circumstances ``present`` and
            ``normal``; for inspections the result ids (the table of the inspection says which are normal).
        said: the input that it came from, in the user's terms, such as ``2.1 V`` or ``leaks``.
    """

    observable: Observable
    states: tuple[tuple[str, float], ...]
    said: str = ""

    @property
    def decided(self) -> str | None:
        """The state when there is only one, else None."""
        return self.states[0][0] if len(self.states) == 1 else None
