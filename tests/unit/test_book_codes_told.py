"""What codes tell: no actuator as a sensor, tracks of the pedal with those of the pedal (from memory)."""

from __future__ import annotations

import re

from helpers_shipped import shipped_book

ACTUATOR = re.compile(
    r"^The signal of the (?!.*\b(?:sensor|switch|sensing)\b).*\b(?:valve|solenoid|injection|actuator|motor)\b"
)
PEDAL = re.compile(r"\bpedal\b.*\b[DEF]\b|\b[DEF]\b.*\bpedal\b")
TRACKS_OF_THE_THROTTLE = "P2135"


def test_no_actuator_is_told_of_as_a_sensor() -> None:
    """A valve has no signal that could fit or not; it does as it is told, or not."""
    assert ACTUATOR.search(
        "The signal of the boost control valve A is possible but does not fit what else is known."
    )
    codes = shipped_book().words.codes.values()
    assert [(code.id, code.meaning) for code in codes if ACTUATOR.search(code.meaning)] == []


def test_tracks_of_the_pedal_go_with_the_code_of_the_pedal() -> None:
    """P2135 compares tracks A and B of the throttle; those of the pedal, D to F, do not come with it."""
    pedal = [code for code in shipped_book().words.codes.values() if PEDAL.search(code.meaning)]
    assert len(pedal) >= 8
    assert [code.id for code in pedal if TRACKS_OF_THE_THROTTLE in code.usually_with] == []
