"""Whether an emissions inspection would be refused or failed now, and what must be driven before it is not.

Programmes differ from state to state. The federal one and California's come with the program; a book may hold
others. What a programme says is shown with where it stands and how sure that is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from proveout.model.book import Book
from proveout.model.terms import Programme
from proveout.readiness.regulation import MEMORY, QUOTED, figure
from proveout.readiness.status import monitor_said

PROGRAMMES: Mapping[str, Programme] = {
    "us-federal": Programme(
        "us-federal",
        "US federal rule with the 2001 guidance on readiness",
        int(figure("inspected-from")),
        ((1996, int(figure("unready-1996-2000"))), (2001, int(figure("unready-2001")))),
        source=f"40 CFR 85.2207 (read); EPA420-R-01-015 (as quoted); {QUOTED}",
    ),
    "us-california": Programme(
        "us-california",
        "California, petrol, model year 2000 and newer",
        2000,
        ((2000, 1),),
        only=("evap",),
        permanent_fails=True,
        source="state inspection programme; permanent codes are passed over after 15 warm-ups and 200 miles; "
        f"{MEMORY}",
    ),
}


def known_programmes(book: Book) -> Mapping[str, Programme]:
    """Return the programmes that come with the program and those of a book, by id."""
    return {**PROGRAMMES, **book.words.programmes}


@dataclass(frozen=True, slots=True)
class Vehicle:
    """What an inspection looks at.

    Attributes:
        model_year: of the vehicle.
        lamp_commanded: the control unit commands the lamp on.
        lamp_lights: it lights with the key on and the engine off; None where nobody looked.
        connector_works: the diagnostic connector is there and answers.
        confirmed, pending, permanent: codes.
        unready: monitors that have not completed.
        unknown: monitors of which nothing is known.
        codes_read: whether the codes are known as they are now.
    """

    model_year: int
    lamp_commanded: bool = False
    lamp_lights: bool | None = None
    connector_works: bool = True
    confirmed: tuple[str, ...] = ()
    pending: tuple[str, ...] = ()
    permanent: tuple[str, ...] = ()
    unready: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    codes_read: bool = True


@dataclass(frozen=True, slots=True)
class Inspected:
    """What is to be expected of an inspection now.

    Attributes:
        programme: which one.
        covered: the vehicle's on-board system is inspected at all.
        failed: reasons for which it would fail.
        refused: reasons for which it would be sent away unready.
        remarks: what does not decide but should be known.
        unknown: what is not known and could decide.
    """

    programme: Programme
    covered: bool
    failed: tuple[str, ...]
    refused: tuple[str, ...]
    remarks: tuple[str, ...]
    unknown: tuple[str, ...] = ()

    @property
    def passes(self) -> bool:
        """Whether nothing stands against it, and everything that could was looked at."""
        return not self.failed and not self.refused and not self.unknown


def inspect(vehicle: Vehicle, programme: Programme) -> Inspected:
    """Say what an inspection would say now."""
    if vehicle.model_year < programme.first_year:
        remark = f"On-board systems are inspected from model year {programme.first_year} on."
        return Inspected(programme, False, (), (), (remark,))
    return Inspected(
        programme,
        True,
        _failures(vehicle, programme),
        _refusals(vehicle, programme),
        _remarks(vehicle, programme),
        _unknowns(vehicle, programme),
    )


def _failures(vehicle: Vehicle, programme: Programme) -> tuple[str, ...]:
    found = []
    if not vehicle.connector_works:
        found.append("The diagnostic connector is missing, altered or does not answer.")
    if vehicle.lamp_commanded and vehicle.lamp_lights is False:
        found.append("The lamp is commanded on but does not light.")
    if vehicle.lamp_commanded and vehicle.confirmed:
        found.append(f"The lamp is commanded on for {', '.join(vehicle.confirmed)}.")
    if programme.permanent_fails and vehicle.permanent:
        found.append(f"A permanent code is stored: {', '.join(vehicle.permanent)}.")
    return tuple(found)


def _allowed(vehicle: Vehicle, programme: Programme) -> int:
    """Return how many monitors may be unready."""
    return [count for year, count in programme.unready if vehicle.model_year >= year][-1]


def _unknowns(vehicle: Vehicle, programme: Programme) -> tuple[str, ...]:
    """Say what nobody has looked at; silence is no readiness."""
    found = []
    open_ones = len(vehicle.unready) + len(vehicle.unknown)
    barred = programme.only and any(name not in programme.only for name in vehicle.unknown)
    if vehicle.unknown and (open_ones > _allowed(vehicle, programme) or barred):
        found.append(
            f"Readiness is not known of: {', '.join(vehicle.unknown)}. Read it from the vehicle and give it "
            "as --status, or by name as --ready and --not-ready."
        )
    if not vehicle.codes_read:
        found.append("The codes were cleared and not read since.")
    return tuple(found)


def _refusals(vehicle: Vehicle, programme: Programme) -> tuple[str, ...]:
    allowed = _allowed(vehicle, programme)
    found = []
    if len(vehicle.unready) > allowed:
        found.append(
            f"{len(vehicle.unready)} monitors are unready ({', '.join(map(monitor_said, vehicle.unready))}); "
            f"at most {allowed} may be for model year {vehicle.model_year}."
        )
    barred = [name for name in vehicle.unready if programme.only and name not in programme.only]
    if barred:
        open_ones, may_be = (", ".join(map(monitor_said, names)) for names in (barred, programme.only))
        found.append(f"Unready: {open_ones}; only {may_be} may be.")
    return tuple(found)


def _remarks(vehicle: Vehicle, programme: Programme) -> tuple[str, ...]:
    found = []
    if vehicle.pending and not vehicle.confirmed:
        found.append("A pending code alone does not fail; the fault may still confirm on the next trip.")
    if vehicle.permanent and not programme.permanent_fails:
        found.append("A permanent code is stored; it goes by driving, not by clearing.")
    if vehicle.lamp_lights is None:
        found.append("Look whether the lamp lights with the key on and the engine off.")
    return tuple(found)
