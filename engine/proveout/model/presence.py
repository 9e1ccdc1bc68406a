"""Whether a fault that comes and goes was there while something was read, and what brings it on."""

from __future__ import annotations

from collections.abc import Mapping

#: What is said of the fault while a reading was taken.
PRESENT, ABSENT, UNKNOWN = "present", "absent", "unknown"
MARKS: Mapping[str, str] = {
    PRESENT: "while the fault was there",
    ABSENT: "while the fault was away",
    UNKNOWN: "without knowing whether the fault was there",
}

#: By itself, now and then: nobody knows what brings it on.
TIME = "time"
#: What brings a fault on that comes and goes, with how to bring it on (common practice, no source).
WAYS: Mapping[str, str] = {
    "bumps": "move its plug, wires and the harness by hand and tap the part while somebody watches the "
    "reading; keep clear of whatever turns or is hot",
    "heat": "take it while everything is hot, right after a drive, or warm the part with a hair dryer, "
    "never with a flame",
    "cold": "take it after a night in the cold, before the engine has warmed up",
    "wet": "spray plug and wires with water from a hand sprayer, never with a jet, and never what carries "
    "high voltage",
    "load": "take it under load: lamps, blower and rear window on, or on the road with somebody else at the "
    "wheel",
    TIME: "wait until it shows, and take it then",
}
