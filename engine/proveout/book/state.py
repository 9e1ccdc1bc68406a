"""The declared state of the vehicle out of nodes, and the cautions and routine steps that follow from it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as MappingOf
from functools import lru_cache

from msgspec.structs import replace

from proveout.book.conditions import items, word
from proveout.book.entry import RawEntry
from proveout.book.fields import inner, maybe_number, number, texts
from proveout.book.raw import RawBook
from proveout.book.remembered import remembered
from proveout.book.tree import BASE
from proveout.model.entries import Cause, Inspection
from proveout.model.state import Powered, Routine, State, follows
from proveout.text.node import Mapping, Scalar

_LISTS = ("unplugged", "opened", "removed", "pulled", "bridged", "pressure", "hot", "turning")
#: A closing step counts as told where it stands among that many last steps, an opening one anywhere
#: but in the last.
_AT_THE_END = 2
_HOLE = re.compile(r"\{([a-z_]+)\}")
#: The word that holds where a place may be reached from beneath, so that the vehicle may still stand raised.
_MAYBE_RAISED = "beneath maybe"
_RAISED, _TURNS = frozenset({"vehicle on-stands"}), ("running", "cranking", "driven")
_RAISES = ("on-stands", "wheels-raised")


def build_state(node: Mapping) -> State:
    """Build a state from what stands under ``state``."""
    put_back = node.get("put_back")
    beneath = node.get("beneath")
    return State(
        key=word(node, "key"),
        engine=word(node, "engine"),
        vehicle=word(node, "vehicle"),
        beneath=isinstance(beneath, Scalar) and beneath.value is True,
        helper=word(node, "helper"),
        lists=tuple((name, texts(node, name)) for name in _LISTS if name in node),
        probed=tuple((key.name, word(inner(node, "probed"), key.name)) for key, _ in inner(node, "probed")),
        powered=tuple(_powered(item) for item in items(node.get("powered"))),
        put_back=bool(put_back.value) if isinstance(put_back, Scalar) else None,
        stays=word(node, "stays"),
        codes=word(node, "codes"),
        vapour=word(node, "vapour"),
        battery=word(node, "battery"),
        place=node.place,
    )


def _powered(node: Mapping) -> Powered:
    volts = number(node, "volts")
    return Powered(word(node, "what"), volts, number(node, "rated", volts), maybe_number(node, "fuse"))


def alternatives(node: Mapping) -> tuple[frozenset[str], ...]:
    """Return the sets of state words that stand under ``follows_from``."""
    return tuple(
        frozenset(f"{key.name} {value.text}" for key, value in item if isinstance(value, Scalar))
        for item in items(node.get("follows_from"))
    )


def build_routine(entry: RawEntry) -> Routine:
    """Build a routine."""
    node = entry.node
    opening, closing, said = word(node, "opening"), word(node, "closing"), texts(node, "unless_said")
    return Routine(entry.id, alternatives(node), opening, closing, said, entry.place, entry.layer)


def following(raw: RawBook) -> Following:
    """Return what follows in a book; the very same for the same entries."""
    return _following(*(tuple(raw.of(kind).values()) for kind in ("cautions", "access", "routines")))


@lru_cache(maxsize=16)
def _following(
    cautions: tuple[RawEntry, ...], access: tuple[RawEntry, ...], routines: tuple[RawEntry, ...]
) -> Following:
    built = sorted(map(build_routine, routines), key=lambda r: (r.layer != BASE, r.place))
    return Following(cautions, access, built)


@remembered
def with_what_follows(cause: Cause, follow: Following) -> Cause:
    """Return a cause with what follows from the state and the places of its remedy."""
    return follow.of_cause(cause)


@remembered
def with_steps_that_follow(inspection: Inspection, follow: Following) -> Inspection:
    """Return an inspection with what follows from its state."""
    return follow.of_inspection(inspection)


class Following:
    """What follows from a state, and from the places that are opened, in one book."""

    def __init__(
        self, cautions: Iterable[RawEntry], access: Iterable[RawEntry], routines: Iterable[Routine]
    ) -> None:
        follow = {entry.id: alternatives(entry.node) for entry in cautions}
        self._cautions = {name: wanted for name, wanted in follow.items() if wanted}
        self._places = {entry.id: texts(entry.node, "cautions") for entry in access}
        self._raising = {name for name, wanted in self._cautions.items() if follows(wanted, _RAISED)}
        self._routines = tuple(routines)

    def of_inspection(self, entry: Inspection) -> Inspection:
        """Return an inspection with the cautions and the steps that follow from its state."""
        if entry.state is None:
            return entry
        before = (entry.leads, *(entry.steps[:-1] or entry.steps))
        words = self._words(entry.state, (*entry.cautions, *self._opened(entry.access)))
        opening, closing = self._steps(entry.state, words, before, entry.steps[-_AT_THE_END:])
        return replace(
            entry,
            cautions=self._all_cautions(entry.state, entry.cautions),
            steps=(*opening, *entry.steps, *closing),
        )

    def of_cause(self, cause: Cause) -> Cause:
        """Return a cause whose remedy has the cautions of its places, and what follows from its state."""
        remedy = cause.remedy
        cautions = tuple(dict.fromkeys((*remedy.cautions, *self._opened(remedy.access))))
        notes = remedy.notes
        if remedy.state is not None:
            words = self._words(remedy.state, cautions)
            opening, closing = self._steps(remedy.state, words, notes, (*notes, *cause.after_repair))
            cautions = self._all_cautions(remedy.state, cautions)
            notes = (*opening, *notes, *closing)
        return replace(cause, remedy=replace(remedy, cautions=cautions, notes=notes))

    def _all_cautions(self, state: State, stated: tuple[str, ...]) -> tuple[str, ...]:
        """Return what follows from the state, then what is stated besides."""
        words = state.words()
        found = [name for name, wanted in self._cautions.items() if follows(wanted, words)]
        return tuple(dict.fromkeys((*found, *stated)))

    def _opened(self, access: Iterable[str]) -> Iterable[str]:
        """Return the cautions of the places that are opened."""
        return (caution for place in access for caution in self._places.get(place, ()))

    def _words(self, state: State, cautions: Iterable[str]) -> frozenset[str]:
        """Return the words of a state, and whether the vehicle may still stand raised once all is done.

        It may where a caution of stands is given though it is not said that it is raised. Where the engine
        turns in between, the steps themselves say when it is let down: a closing step would come too late.
        """
        raised = state.beneath or state.vehicle in _RAISES
        maybe = not raised and state.engine not in _TURNS and not self._raising.isdisjoint(cautions)
        return state.words() | ({_MAYBE_RAISED} if maybe else set())

    def _steps(
        self, state: State, words: frozenset[str], told: Iterable[str], told_last: Iterable[str]
    ) -> tuple[list[str], list[str]]:
        """Return the opening and the closing steps that follow, but those that are told anyway."""
        holding = [routine for routine in self._routines if follows(routine.follows_from, words)]
        lists: MappingOf[str, tuple[str, ...]] = dict(state.lists)

        def filled(text: str) -> str:
            return _HOLE.sub(lambda hole: _listed(lists.get(hole[1], ())) or hole[0], text)

        opening = [filled(r.opening) for r in holding if r.opening and not _told(r, told)]
        return opening, [filled(r.closing) for r in holding if r.closing and not _told(r, told_last)]


def _told(routine: Routine, steps: Iterable[str]) -> bool:
    """Say whether some steps hold the words of a routine already."""
    text = " ".join(steps).lower()
    return any(words in text for words in routine.unless_said)


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names)
