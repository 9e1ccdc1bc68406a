"""Histories of a case rewritten in some 300 ways, on a signed record and on an unsigned one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from helpers_history import a_case, file_of, rewritten, sealed_anew, signed, small_book
from proveout.audit.proof import Trusted
from proveout.audit.replay import Shelf, audited
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record.event import Event
from proveout.record.signing import new_key, public_of
from proveout.record.verify import check

KEY = new_key()
SIGNER = Trusted(public_of(KEY, ""))

#: What nobody can see in a record that its keeper has sealed anew and nobody signed. DEVELOPERS.md says it
#: in words under "Not promised"; what is not in here must be found, whichever event it was done to.
NOT_SEEN = {
    "all from here cut",
    "another cause",
    "another codes_cleared",
    "another codes_now",
    "another cost",
    "another driven_km",
    "another hour",
    "another minutes",
    "another monitors_run",
    "another name",
    "another outcome",
    "another vehicle",
    "given twice",
    "left out",
    "no name",
    "something put in after",
}


def passes(events: Sequence[Event], trusted: Trusted) -> bool:
    """Say whether an audit finds nothing."""
    try:
        found = check(file_of(events), "case.yaml")
        return audited(found, Shelf(Path("none"), small_book()), trusted).clean
    except (BadInputError, DamagedRecordError):
        return False


@pytest.fixture(scope="module")
def ways() -> list[tuple[str, tuple[Event, ...]]]:
    return list(rewritten(signed(a_case(), KEY)))


def test_the_case_itself_passes() -> None:
    assert passes(a_case(), Trusted()) and passes(signed(a_case(), KEY), SIGNER)


def test_every_way_of_editing_the_file_is_found(ways: list[tuple[str, tuple[Event, ...]]]) -> None:
    assert len(ways) > 100
    assert [name for name, events in ways if passes(events, SIGNER)] == []


def test_every_way_of_sealing_a_signed_case_anew_is_found(
    ways: list[tuple[str, tuple[Event, ...]]],
) -> None:
    assert [name for name, events in ways if passes(sealed_anew(events), SIGNER)] == []


def test_another_key_is_not_the_one_asked_for() -> None:
    forged = signed(sealed_anew(a_case()[:-1]), new_key())
    assert passes(forged, Trusted()) and not passes(forged, SIGNER)


@pytest.fixture(scope="module")
def unseen() -> dict[str, bool]:
    """Return by each way of sealing an unsigned case anew whether an audit finds nothing."""
    return {name: passes(sealed_anew(events), Trusted()) for name, events in rewritten(a_case())}


def test_what_cannot_be_seen_without_a_signature_is_known(unseen: dict[str, bool]) -> None:
    assert {name.partition(":")[0] for name, passed in unseen.items() if passed} == NOT_SEEN


def test_what_contradicts_itself_is_found_without_a_signature(unseen: dict[str, bool]) -> None:
    found = {name for name, passed in unseen.items() if not passed}
    for wanted in (
        "another against_verdict: event 5, purchase",
        "another result: event 3, reading",
        "another causes: event 9, advice",
        "another year: event 5, purchase",
        "left out: event 3, reading",
        "left out: event 4, advice",
        "left out: event 14, verification",
        "moved before its former: event 12, purchase",
    ):
        assert wanted in found, wanted
