"""What the events of a case hold, as types; ``Body.kept`` gives what stands in the file.

Old records lack some fields and hold others that nobody asks for any more: what is missing has its default,
what is unknown is passed over. The bytes of the file and its digests rest on the mapping as it was read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, ClassVar, TypeVar

import msgspec
from msgspec import Struct, field

from proveout.model.problem import DamagedRecordError, Problem
from proveout.record.event import Event


class Body(Struct, frozen=True, kw_only=True):
    """A body of one kind.

    Attributes:
        kind: of its event.
        always: names of the fields that are written even where they hold their default.
    """

    kind: ClassVar[str] = ""
    always: ClassVar[frozenset[str]] = frozenset()

    def kept(self) -> dict[str, Any]:
        """Return the mapping that stands in the file, in the order of the fields."""
        found = {name: getattr(self, name) for name in self.__struct_fields__}
        return {
            name: msgspec.to_builtins(value) for name, value in found.items() if self._written(name, value)
        }

    def _written(self, name: str, value: Any) -> bool:
        return name in self.always or not (value is None or value in ("", [], {}, ()))


class Reading(Body, frozen=True, kw_only=True):
    """What an inspection gave: a result word, a value, or pairs of stimulus and response.

    ``mark`` is the sender's own name for it, by which a reading that is sent twice is kept once.
    """

    kind: ClassVar[str] = "reading"

    inspection: str
    result: str = ""
    value: str | int | float = ""
    series: Sequence[Sequence[Any]] = ()
    instrument: str = ""
    conditions: Sequence[str] = ()
    fault: str = ""
    old_part: bool | None = None
    mark: str = ""


class Withdrawal(Body, frozen=True, kw_only=True):
    """The number of an event that counts no longer."""

    kind: ClassVar[str] = "withdrawal"

    event: int
    reason: str = ""


class Amendment(Body, frozen=True, kw_only=True):
    """A part of an intake document that is added, and what is taken out of it before."""

    kind: ClassVar[str] = "amendment"

    adds: Mapping[str, Any] = field(default_factory=dict)
    drops: Mapping[str, Sequence[Any]] = field(default_factory=dict)
    reason: str = ""


class Note(Amendment, frozen=True, kw_only=True):
    """A remark, perhaps with what became known."""

    kind: ClassVar[str] = "note"

    text: str = ""


class AdvisedVerdict(Struct, frozen=True):
    """The verdict of an advice, as kept."""

    kind: str = ""
    cause: str = ""
    reasons: Sequence[str] = ()


class AdvisedCause(Struct, frozen=True):
    """How a cause stood in an advice."""

    id: str
    confidence: float = 0.0
    direct: str = "none"
    missing: Sequence[str] = ()


class AdvisedBook(Struct, frozen=True):
    """The book that an advice rests on."""

    digest: str = ""
    layers: Sequence[str] = ()
    engine: str = ""


class Advice(Body, frozen=True, kw_only=True):
    """The answer in short, with the digests that show that nothing else came out."""

    kind: ClassVar[str] = "advice"
    always: ClassVar[frozenset[str]] = frozenset({"next", "causes", "not_in_book"})

    schema: str = "proveout/advice/1"
    book: AdvisedBook | str = ""
    driving_on: str | None = None
    verdict: AdvisedVerdict = field(default_factory=AdvisedVerdict)
    next: str | None = None
    causes: Sequence[AdvisedCause] = ()
    not_in_book: float = 0.0
    inputs: Mapping[str, Any] = field(default_factory=dict)
    triage_digest: str = ""
    snapshot: str = ""

    @property
    def book_digest(self) -> str:
        """Digest of the book that it rests on, or ""."""
        return self.book if isinstance(self.book, str) else self.book.digest

    @property
    def engine(self) -> str:
        """Name of the chainer, or ""."""
        return "" if isinstance(self.book, str) else self.book.engine


class Purchase(Body, frozen=True, kw_only=True):
    """A part that was bought for a cause, and whether against the verdict."""

    kind: ClassVar[str] = "purchase"
    always: ClassVar[frozenset[str]] = frozenset({"part", "cause", "cost", "against_verdict"})

    part: str = ""
    cause: str = ""
    cost: float = 0.0
    against_verdict: bool = False
    reason: str = ""


class Repair(Body, frozen=True, kw_only=True):
    """What was mended, how, and the inspections whose readings were of the old part."""

    kind: ClassVar[str] = "repair"
    always: ClassVar[frozenset[str]] = frozenset({"cause", "action", "voids"})

    cause: str = ""
    action: str = ""
    component: str = ""
    voids: Sequence[str] = ()
    minutes: float | None = None
    codes_cleared: bool | None = None
    note: str = ""


class Mending(Body, frozen=True, kw_only=True):
    """A defect that was seen and put right, proven or not."""

    kind: ClassVar[str] = "mending"
    always: ClassVar[frozenset[str]] = frozenset({"cause"})

    cause: str
    minutes: float | None = None
    cost: float | None = None
    note: str = ""


class Watch(Body, frozen=True, kw_only=True):
    """What was seen since the last mending."""

    kind: ClassVar[str] = "watch"

    since: str
    note: str = ""


class Verification(Body, frozen=True, kw_only=True):
    """What showed after a repair."""

    kind: ClassVar[str] = "verification"
    always: ClassVar[frozenset[str]] = frozenset({"repeated", "codes_cleared", "codes_now", "monitors_run"})

    repeated: Sequence[Mapping[str, Any]] = ()
    codes_cleared: bool = False
    codes_now: Sequence[Any] = ()
    codes_read: bool | None = None
    monitors_run: Sequence[str] = ()
    driven_km: float | None = None
    counters: Mapping[str, int] = field(default_factory=dict)
    gone: Sequence[str] = ()
    note: str = ""

    @property
    def read_codes(self) -> bool:
        """Whether the codes were read, so that none says that none is stored."""
        return bool(self.codes_read or self.codes_now)


class Close(Body, frozen=True, kw_only=True):
    """How a case ended."""

    kind: ClassVar[str] = "close"

    outcome: str = ""
    cause: str = ""
    note: str = ""


class Reopening(Body, frozen=True, kw_only=True):
    """Why a closed case was opened again."""

    kind: ClassVar[str] = "reopening"

    reason: str


class Signature(Body, frozen=True, kw_only=True):
    """An event before it signed, and so all up to there: its number and digest, the key and the signature."""

    kind: ClassVar[str] = "signature"

    event: int
    head: str
    key: str
    signature: str


class Timestamp(Body, frozen=True, kw_only=True):
    """An event before it stamped with the time: its number and digest, the authority's reply in base64."""

    kind: ClassVar[str] = "timestamp"

    event: int
    head: str
    reply: str


B = TypeVar("B", bound=Body)


def body_of(event: Event, form: type[B]) -> B:
    """Return the body of an event as its type.

    Raises:
        DamagedRecordError: it does not hold what its kind needs, however well it is sealed.
    """
    try:
        return msgspec.convert(event.body, form)
    except msgspec.ValidationError as error:
        saw = f"event {event.n}, a {event.kind}: {error}"
        raise DamagedRecordError(Problem(event.place, "misshapen-event", saw)) from None


def bodies(events: Sequence[Event], form: type[B]) -> Iterator[tuple[Event, B]]:
    """Return the events of a kind, each with its body, in their order."""
    return ((event, body_of(event, form)) for event in events if event.kind == form.kind)


def last_body(events: Sequence[Event], form: type[B]) -> tuple[Event, B] | None:
    """Return the last event of a kind with its body, or None."""
    found = next((event for event in reversed(events) if event.kind == form.kind), None)
    return (found, body_of(found, form)) if found else None
