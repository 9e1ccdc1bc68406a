"""What confirms a repair, by the kind of its codes. The situations are common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest

from helpers_record import chain_of
from helpers_shipped import shipped_book
from proveout.model.problem import BadInputError
from proveout.readiness.held import COUNTED, TWO_TRIP, asked, kind_of
from proveout.record.closing import confirmation, what_confirms
from proveout.record.deeds import counters_from, repair_body

COIL = {"codes": ["P0303"], "results": {"coil-swap": "moved-with-coil"}}
HOSE = {"codes": ["P0171"], "results": {"intake-hoses-look": "off"}}
NOT_STORED = {"codes_cleared": True, "codes_read": True}
SOUND = {"inspection": "intake-hoses-look", "result": "sound"}


def missing(intake: dict[str, Any], cause: str, *checks: dict[str, Any]) -> tuple[str, ...]:
    """Say what is missing before a repair of the shipped book is confirmed."""
    book = shipped_book()
    repair = ("repair", repair_body(chain_of(intake=intake), book, cause).kept())
    events = chain_of(repair, *(("verification", body) for body in checks), intake=intake)
    return confirmation(events, book).missing


@pytest.mark.parametrize(
    ("check", "lacks"),
    [
        ({"codes_cleared": True, "driven_km": 40, "counters": {"misfire-3": 0}}, ""),
        ({**NOT_STORED, "driven_km": 40}, ""),
        ({"codes_cleared": True, "driven_km": 40, "counters": {"misfire-3": 4}}, "misfire-3 stands at 4"),
        ({"codes_cleared": True, "driven_km": 4, "counters": {"misfire-3": 0}}, "drive of 20 km"),
        ({"driven_km": 40, "counters": {"misfire-3": 0}}, "not cleared"),
        ({"codes_cleared": True, "driven_km": 40}, "not read again"),
        ({**NOT_STORED, "driven_km": 40, "codes_now": ["P0303"]}, "P0303 is stored again"),
        (
            {**NOT_STORED, "driven_km": 40, "codes_now": [{"code": "P0303", "status": "pending"}]},
            "P0303 is stored again",
        ),
    ],
)
def test_a_drive_with_counters_at_zero_confirms_a_coil(check: dict[str, Any], lacks: str) -> None:
    """Nobody swaps coils again once the engine runs: the counters tell more than the swap did."""
    found = missing(COIL, "ignition-coil-failed", check)
    assert len(found) == bool(lacks) and lacks in "".join(found)


@pytest.mark.parametrize(
    ("check", "lacks"),
    [
        ({"repeated": [SOUND]}, ("not cleared", "drive of 20 km", "not read again")),
        ({"repeated": [SOUND], **NOT_STORED}, ("drive of 20 km",)),
        ({"repeated": [SOUND], **NOT_STORED, "driven_km": 30}, ()),
        ({**NOT_STORED, "driven_km": 30}, ("must be repeated",)),
        ({"repeated": [{**SOUND, "result": "off"}], **NOT_STORED, "driven_km": 30}, ("gave “off”",)),
    ],
)
def test_a_look_at_a_hose_alone_confirms_nothing(check: dict[str, Any], lacks: tuple[str, ...]) -> None:
    found = missing(HOSE, "vacuum-hose-left-off", check)
    assert len(found) == len(lacks) and all(part in "".join(found) for part in lacks)


def test_without_codes_what_was_noticed_must_be_gone() -> None:
    case = {"symptoms": ["hiss-in-engine-bay"], "results": {"intake-hoses-look": "off"}}
    assert "was not looked for" in missing(case, "vacuum-hose-left-off", {"repeated": [SOUND]})[0]
    gone = {"repeated": [SOUND], "gone": ["hiss-in-engine-bay"]}
    assert missing(case, "vacuum-hose-left-off", gone) == ()


def test_each_kind_of_code_says_once_what_shows_that_it_stays_away() -> None:
    assert kind_of("P0300", "") == COUNTED and kind_of("P0442", "evap") == TWO_TRIP
    assert "evap monitor" in asked("P0442", "evap") and "counters" in asked("P0312", "")
    assert len(what_confirms(chain_of(intake={"codes": ["P0303", "P0420"]}), shipped_book())) == 2


@pytest.mark.parametrize(
    "text", ["misfire", "=0", "misfire=-1", "misfire=1.5", "Misfire 3=0", "a=9999999999"]
)
def test_what_is_no_counter_is_refused(text: str) -> None:
    with pytest.raises(BadInputError, match="bad-counter"):
        counters_from([text])
