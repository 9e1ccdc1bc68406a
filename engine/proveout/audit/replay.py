"""Auditing a case: does its chain hold, and do the same facts with the same rules still give the same advice?

Each advice is computed anew from the events before it and from the snapshot of the book that it names, and is
compared value by value with what was recorded, in the form in which it was recorded.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from proveout.audit.findings import Finding, findings
from proveout.audit.proof import Proof, Trusted, proof_findings, proof_of
from proveout.chain.closing import default_engine, engines
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.book import Book
from proveout.model.problem import BadInputError, DamagedRecordError, EngineError
from proveout.plan.advice import advise
from proveout.record import casefile, layout, snapshot
from proveout.record.advice import ADVICE, WHOLE_ADVICE, advice_document
from proveout.record.bodies import Advice, body_of
from proveout.record.event import Event
from proveout.record.state import merged
from proveout.record.verify import Verification

#: Keys of an advice that say what it was computed with, not what came out.
_WITH = frozenset({"snapshot"})


@dataclass(frozen=True, slots=True)
class Difference:
    """One value that came out otherwise: where in the advice, what was recorded, what came out now."""

    where: str
    recorded: Any
    now: Any


@dataclass(frozen=True, slots=True)
class Replay:
    """One advice computed anew.

    Attributes:
        event: the advice as recorded.
        differences: what came out otherwise; none if it is identical.
        problem: why it could not be computed anew, or "".
        engine: the chainer that was used.
        planned: of an advice of a former form, what today's planning says otherwise; the facts and what is
            believed of them came out the same, and the planning of that time is no longer here to be asked.
    """

    event: Event
    differences: tuple[Difference, ...] = ()
    problem: str = ""
    engine: str = ""
    planned: tuple[Difference, ...] = ()

    @property
    def identical(self) -> bool:
        """Whether the same came out, as far as it can be computed anew."""
        return not self.differences and not self.problem


@dataclass(frozen=True, slots=True)
class Audit:
    """What auditing a case found.

    Attributes:
        verification: of its chain.
        replays: one an advice, with the book that it names.
        findings: what speaks against it though its chain holds.
        proof: its signatures and time stamps.
    """

    verification: Verification
    replays: tuple[Replay, ...] = ()
    findings: tuple[Finding, ...] = ()
    proof: Proof = field(default_factory=Proof)

    @property
    def clean(self) -> bool:
        """Whether the chain holds, every advice came out the same and nothing else speaks against it."""
        same = all(replay.identical for replay in self.replays)
        return self.verification.sound and same and not self.findings


@dataclass(slots=True)
class Shelf:
    """Books already taken from the store, by the snapshot's digest.

    Attributes:
        store: the directory of book snapshots.
        today: the book at hand, or None; it serves where an advice names the very same.
    """

    store: Path
    today: Book | None = None
    books: dict[str, Book] = field(default_factory=dict)

    def book_for(self, advice: Event) -> Book:
        """Return the book that an advice names.

        Raises:
            BadInputError: it is not kept, and today's is another one.
            DamagedRecordError: what is kept was altered.
        """
        body = body_of(advice, Advice)
        layers = None if isinstance(body.book, str) or not body.book.layers else tuple(body.book.layers)
        today = self.today
        if today is not None and today.digest == body.book_digest and layers in (None, today.layers):
            return today
        name = body.snapshot
        if name not in self.books:
            self.books[name] = snapshot.book_of(snapshot.load(self.store, name))
        return self.books[name]


def audit(
    path: Path,
    store: Path,
    *,
    head: str | None = None,
    today: Book | None = None,
    trusted: Trusted | None = None,
    now: datetime | None = None,
) -> Audit:
    """Audit a case file.

    Args:
        path: the case file.
        store: the directory of book snapshots.
        head: a digest that the file is known to contain, or how it begins.
        today: the book at hand; it serves where an advice names the very same.
        trusted: whose signatures and time stamps are believed.
        now: today's time, for times that have not come yet.

    Raises:
        BadInputError: the file cannot be read or is no case file.
    """
    return audited(casefile.verify(path, head), Shelf(store, today), trusted or Trusted(), now)


def audited(found: Verification, shelf: Shelf, trusted: Trusted, now: datetime | None = None) -> Audit:
    """Audit events whose chain was checked.

    Args:
        found: what checking it found.
        shelf: gives the books.
        trusted: whose signatures and time stamps are believed.
        now: today's time, for times that have not come yet.
    """
    advices = [event for event in found.events if event.kind == "advice"]
    if not found.events or found.events[0].kind != "intake":
        return Audit(found)
    replays = tuple(_replay(found.events, event, shelf.book_for) for event in advices)
    if not found.sound:
        return Audit(found, replays)
    proof = proof_of(found.events, trusted)
    against = (*findings(found.events, shelf.book_for, now), *proof_findings(found.events, proof))
    return Audit(found, replays, tuple(sorted(against, key=lambda one: one.event)), proof)


def book_digest(advice: Event) -> str:
    """Return the digest of the book that an advice names, or ""."""
    return body_of(advice, Advice).book_digest


def differences(recorded: Any, now: Any, where: str = "") -> tuple[Difference, ...]:
    """List where two plain values differ, down to the single value."""
    if isinstance(recorded, Mapping) and isinstance(now, Mapping):
        keys = [*recorded, *(key for key in now if key not in recorded)]
        inner = (
            differences(recorded.get(key), now.get(key), f"{where}.{key}".lstrip("."))
            for key in keys
            if where or key not in _WITH
        )
        return tuple(one for some in inner for one in some)
    if isinstance(recorded, list) and isinstance(now, list) and len(recorded) == len(now):
        pairs = enumerate(zip(recorded, now, strict=True))
        return tuple(one for i, (a, b) in pairs for one in differences(a, b, f"{where}[{i}]"))
    same = recorded == now and isinstance(recorded, bool) == isinstance(now, bool)
    return () if same else (Difference(where, recorded, now),)


def _replay(events: Sequence[Event], advice: Event, book_for: Callable[[Event], Book]) -> Replay:
    """Compute one advice anew and compare."""
    engine = _engine(advice)
    try:
        book = book_for(advice)
        form = body_of(advice, Advice).schema
        case = case_of(merged(events, upto=advice.n - 1), book)
        sheet = sheet_of(case, book, each_code=form not in WHOLE_ADVICE)
        now = layout.plain(advice_document(advise(case, book, engine, sheet), book, form))
    except (BadInputError, DamagedRecordError, EngineError) as error:
        return Replay(advice, problem=str(error), engine=engine)
    found = differences(_without_engine(advice.body), _without_engine(now))
    if form != ADVICE and all(_planned(one.where) for one in found):
        return Replay(advice, engine=engine, planned=found)
    return Replay(advice, found, engine=engine)


def _without_engine(body: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return the body of an advice without the engine, which may be another today."""
    book = body.get("book")
    if not isinstance(book, Mapping):
        return body
    return {**body, "book": {key: value for key, value in book.items() if key != "engine"}}


def _planned(where: str) -> bool:
    """Say whether a place of an advice says what to do, or rests on that: not the facts, nor a confidence."""
    return where.partition(".")[0] in ("verdict", "next", "triage_digest") or ".missing" in where


def _engine(advice: Event) -> str:
    """Return the engine that an advice names where there is such a one here, else the default."""
    named = body_of(advice, Advice).engine
    return named if named in engines() else default_engine()
