"""Where the meter's leads go, how a pump is joined, how a swap is done: as an inspection says it.

A picture is only made where the data leave no doubt of it: a wrong one would be worse than none. Nothing is
drawn that the inspection does not say; its own words stand beside it.
"""

from __future__ import annotations

import re

from msgspec import Struct

from proveout.model.entries import Inspection

#: Forms of a picture: a wire back-probed with its plug joined; both ends of a wire with its plugs parted; the
#: pins of the part itself; a terminal of the harness half; a hand pump with a gauge; two parts changed over.
JOINED, ENDS, PINS, HARNESS, PUMP, SWAP = "joined", "ends", "pins", "harness", "pump", "swap"

BATTERY, METAL = "battery negative post", "bare metal"

_WIRE = re.compile(r"(supply|signal|ground|control|feed) (?:wire|terminal)\b")
_BLACK = re.compile(r"\bblack(?: lead)?(?: back)? (?:on|to|at) (?:the )?(battery|bare)")
_METERS = {"voltage": "DC volts", "resistance": "ohms"}


class Picture(Struct, frozen=True):
    """A picture.

    Attributes:
        form: one of the forms above.
        part: what is measured or joined, in a word or two.
        wire: which wire, or "".
        black: where the black lead goes, or "".
        meter: what the meter is set to, or "".
    """

    form: str
    part: str
    wire: str = ""
    black: str = ""
    meter: str = ""

    def words(self) -> str:
        """Return what the picture shows, in words."""
        if self.form == JOINED:
            return (
                f"Meter on {self.meter}. Plug joined: red on a pin in the back of the {self.wire} wire, "
                f"black on the {self.black}."
            )
        if self.form == HARNESS:
            return (
                f"Meter on {self.meter}. Plug parted: red at the {self.wire} terminal of the harness half, "
                f"black on the {self.black}."
            )
        if self.form == ENDS:
            return f"Meter on {self.meter}. Both plugs parted: a lead at each end of the wire."
        if self.form == PINS:
            return f"Meter on {self.meter}. Plug parted: a lead on each pin of the part itself."
        if self.form == PUMP:
            return "The hand pump with its gauge is joined by its hose to the port that the steps name."
        return "Two like parts are changed over: does the trouble go with the part, or stay where it was?"


def picture_of(entry: Inspection) -> Picture | None:
    """Return the picture of an inspection, or None where its data do not settle one."""
    if entry.kind == "swap":
        return Picture(SWAP, "part")
    if entry.state is not None and len(entry.state.probed) == 1 and entry.reading is not None:
        return _measured(entry)
    pumped = "hand-vacuum-pump" in entry.tools and re.match(
        r"pump (?:on|to|at)\b", entry.leads, re.IGNORECASE
    )
    return Picture(PUMP, "part") if pumped and not (entry.state and entry.state.probed) else None


def _measured(entry: Inspection) -> Picture | None:
    assert entry.state is not None and entry.reading is not None
    (where, how), leads = entry.state.probed[0], entry.leads.casefold()
    meter = _METERS.get(entry.reading.quantity, "")
    unplugged = entry.state.all_of("unplugged")
    part = re.sub(r"^(?:the|an?) ", "", unplugged[0]) if unplugged else "part"
    if (
        meter == "ohms"
        and how == "terminal"
        and len(unplugged) > 1
        and where in ("both parted plugs", "both ends")
    ):
        return Picture(ENDS, part, meter=meter)
    if meter == "ohms" and how == "touch" and unplugged and re.match(r"(?:both )?pins\b", where):
        return Picture(PINS, part, meter=meter)
    wire, black = _WIRE.match(where), _BLACK.search(leads)
    if meter != "DC volts" or not wire or not black or not re.search(rf"\bred\b[^;.]*\b{wire[1]}\b", leads):
        return None
    lead = BATTERY if black[1] == "battery" else METAL
    if how == "back-probe" and not unplugged:
        return Picture(JOINED, part, wire[1], lead, meter)
    if how in ("terminal", "touch") and unplugged:
        return Picture(HARNESS, part, wire[1], lead, meter)
    return None
