"""What the picture of an inspection shows: where leads, pump, gauge or reader go, how a swap is done.

A picture is only made where the data leave no doubt of it: a wrong one would be worse than none. Nothing is
drawn that the inspection does not say; places are called as its own words call them.
"""

from __future__ import annotations

import re

from msgspec import Struct

from proveout.model.book import Book
from proveout.model.entries import Inspection
from proveout.show.leads import OTHER, Leads, leads_of

#: Forms of a picture: a wire at the plug of a part; two places with the meter between them; a clamp round a
#: wire; a tool at a place; two like parts changed over; a part known to be good put in for a while.
CIRCUIT, PAIR, CLAMP, TOOL, EXCHANGE, SUBSTITUTE = (
    "circuit",
    "pair",
    "clamp",
    "tool",
    "exchange",
    "substitute",
)

_WIRE = re.compile(r"\b(supply|signal|ground|control|feed)(?: (?:wire|terminal|pin)\b|$)")
#: Words of places that are not at the plug of the part.
_ELSEWHERE = re.compile(r"\b(?:module|fuse|socket|relay|battery|other sensor|an unplugged)\b")
_PLAIN = re.compile(r"\b(?:battery|bare)\b")
_ROUND = re.compile(r"\bround (?:the )?(?P<what>[^,;.:]+)")
_AT = re.compile(
    r"\b(?:pump|gauge|gauges|source|clips|hose)\b[^;.:]*?\b(?:on|at|into|from|to|in(?= the| an?| each)) "
    r"(?:the |an? )?(?P<what>[^,;.:]+)",
    re.IGNORECASE,
)
#: Tools that only help, and readers, which come after whatever measures at the place itself.
_HELPS = frozenset({"hand-tools", "probe-kit", "sensor-socket", "torque-wrench", "torch-and-mirror"}) | {
    "multimeter",
    "resistor-lead",
    "test-light",
}
_READERS = ("live-data-reader", "code-reader", "output-command-reader")
_METERS = {"voltage": "DC volts", "resistance": "ohms", "current": "DC amperes"}
#: Places that take no article.
_NO_ARTICLE = re.compile(r"(?:the|an?|one|each|bare|its|that|same|two|pin \d+)\b")
_FOLLOWS = re.compile(r"follow|move|goes-with")
_SWAPPED = re.compile(r"\b(?:swap(?:ped)?|change|exchanged|another cap)\b", re.IGNORECASE)


class Picture(Struct, frozen=True):
    """What a picture shows.

    Attributes:
        form: one of the forms above.
        meter: what the meter is set to, or the tool.
        red, black: where the leads go, or in ``red`` where the tool goes; in the words of the inspection.
        coloured: whether it matters which lead is which.
        wire: of a circuit, which wire the red lead touches.
        black_wire: of a circuit, which wire the black lead touches, or "".
        parted: of a circuit, whether the plug is parted.
        load: what the circuit is loaded with while it is measured, or that it is not; "" where nobody says.
        results: of a swap, the names of what may come of it.
    """

    form: str
    meter: str = ""
    red: str = ""
    black: str = ""
    coloured: bool = True
    wire: str = ""
    black_wire: str = ""
    parted: bool = False
    load: str = ""
    results: tuple[str, ...] = ()

    def words(self) -> str:
        """Return what the picture shows, in words."""
        if self.form == CIRCUIT:
            plug = "Plug parted, at the harness half" if self.parted else "Plug joined, pins in its back"
            return f"Meter on {self.meter}. {plug}: {self._leads()}. {self.load}".strip()
        if self.form == PAIR:
            return f"Meter on {self.meter}: {self._leads()}. {self.load}".strip()
        if self.form == CLAMP:
            return f"The jaw of the {self.meter.lower()} is closed round {_the(self.red)}, and nothing else."
        if self.form == TOOL:
            return f"{self.meter}, joined to {_the(self.red)}."
        done = "Two like parts are changed over, tried, and put back."
        if self.form == SUBSTITUTE:
            done = "One that works is put in for a while, tried, and taken out."
        return f"{done} What comes of it is one of: {', '.join(self.results)}."

    def _leads(self) -> str:
        if self.coloured:
            return f"red on {_the(self.red)}, black on {_the(self.black)}"
        if self.black == OTHER:
            return f"a lead on {_the(self.red)}, the second on {OTHER}, either way round"
        return f"one lead on {_the(self.red)}, the other on {_the(self.black)}, either way round"


def _the(place: str) -> str:
    """Return a place with its article, where it has none and takes one."""
    return place if _NO_ARTICLE.match(place) else f"the {place}"


def picture_of(book: Book, entry: Inspection) -> Picture | None:
    """Return what the picture of an inspection shows, or None where its data do not settle one."""
    if entry.kind == "swap":
        return _swap(entry)
    if entry.reading is None:
        pumped = "hand-vacuum-pump" in entry.tools and re.match(r"pump (?:on|to|at)\b", entry.leads, re.I)
        return _tool(book, entry) if pumped and not (entry.state and entry.state.probed) else None
    meter = _METERS.get(entry.reading.quantity, "") if "multimeter" in entry.tools else ""
    leads = leads_of(entry.leads)
    if meter and leads:
        return _measured(entry, leads, meter)
    if found := _ROUND.search(entry.leads):
        return Picture(CLAMP, meter=_named(book, entry), red=found["what"].strip())
    return _tool(book, entry)


def _swap(entry: Inspection) -> Picture | None:
    """Return how a swap is done; borrowing a supply or bridging a wire is none."""
    results = tuple(result.id.replace("-", " ") for result in entry.results)
    if any(_FOLLOWS.search(result.id) for result in entry.results):
        return Picture(EXCHANGE, results=results)
    return Picture(SUBSTITUTE, results=results) if _SWAPPED.search(entry.title) else None


def _measured(entry: Inspection, leads: Leads, meter: str) -> Picture:
    """Return where the leads of a meter go: at the plug of a part, or else between two places."""
    if found := re.search(r"\bAC (?:milli)?volts", entry.leads):
        meter = found[0]
    if "in series" in entry.leads or "amperes" in meter:
        meter = f"{meter}, in series"
    load = _load(entry)
    wire, black_wire = _WIRE.search(leads.red), _WIRE.search(leads.black)
    state = entry.state
    if wire and meter in ("DC volts", "ohms") and state is not None and len(state.probed) == 1:
        (where, how), unplugged = state.probed[0], state.all_of("unplugged")
        parted = len(unplugged) == 1
        at_plug = not _ELSEWHERE.search(f"{where} {leads.red}") and (black_wire or _PLAIN.search(leads.black))
        if at_plug and not (black_wire and _ELSEWHERE.search(leads.black)):
            fits = parted and not black_wire if how in ("terminal", "touch") else not unplugged
            if fits and how != "clamp":
                return Picture(
                    CIRCUIT,
                    meter,
                    leads.red,
                    leads.black,
                    leads.coloured,
                    wire[1],
                    black_wire[1] if black_wire else "",
                    parted,
                    load,
                )
    return Picture(PAIR, meter, leads.red, leads.black, leads.coloured, load=load)


def _load(entry: Inspection) -> str:
    """Say what draws current while it is measured; nothing where the data do not tell."""
    if entry.reading is None or entry.reading.quantity != "voltage":
        return ""
    if "resistor-lead" in entry.tools:
        return "Loaded by the resistor lead."
    if "test-light" in entry.tools:
        return "Loaded by the test light."
    state = entry.state
    if state is None or len(state.probed) != 1:
        return ""
    if state.all_of("unplugged"):
        return "Not loaded: the part is unplugged."
    return "Loaded: the part is joined." if state.probed[0][1] == "back-probe" else ""


def _tool(book: Book, entry: Inspection) -> Picture | None:
    """Return a pump, gauge, reader or other tool at the place where it goes."""
    name = _named(book, entry)
    if not name:
        return None
    if _first(entry) in _READERS:
        return Picture(TOOL, meter=name, red="diagnostic socket")
    found = _AT.search(entry.leads)
    if found is None:
        return None
    return Picture(TOOL, meter=name, red=found["what"].strip())


def _first(entry: Inspection) -> str:
    """Return the tool that measures, or ""."""
    at_place = [tool for tool in entry.tools if tool not in _HELPS | set(_READERS)]
    readers = [tool for tool in entry.tools if tool in _READERS]
    return next(iter((*at_place, *readers)), "")


def _named(book: Book, entry: Inspection) -> str:
    """Return what the tool that measures is called, without its particulars."""
    tool = _first(entry)
    return book.words.tools[tool].title.partition(",")[0].partition(" that ")[0] if tool else ""
