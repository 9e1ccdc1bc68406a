"""Figures of US regulation and of the on-board diagnostic standards that the record room uses.

Each figure says where it stands and how sure it is that it stands there, for the text of the paid standards
and of most sections was not at hand. A sentence shown to a user must carry that along.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

#: How sure a figure is, the surest first.
READ = "read in the source"
QUOTED = "as another document quotes the source"
MEMORY = "from memory of the source; open it before relying on it"
TYPICAL = "typical, differs by vehicle; common practice"

#: Kilometres in a statute mile (exact: 1.609344, NIST SP 811).
KM_PER_MILE = 1.609344


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a regulation or standard: value, unit, where it stands and how sure that is."""

    value: float
    unit: str
    source: str
    sure: str


_CCR = "13 CCR 1968.2"
_PERMANENT = f"{_CCR}(d)(2.5)"
_EVAP_RATIO = f"{_CCR}(d)(4.3.2)"
_WARRANTY = "42 USC 7541(i), 40 CFR 85.2103"
_EPA_WARRANTY = "EPA fact sheet on emission warranties, 1995 and newer"

#: Every figure by a short name.
FIGURES: Mapping[str, Figure] = {
    # codes and the lamp
    "lamp-off-passes": Figure(3, "driving cycles in a row with the monitor run and passed", _CCR, QUOTED),
    "code-erased-warm-ups": Figure(40, "warm-up cycles", _CCR, QUOTED),
    "two-trip": Figure(2, "driving cycles in which the monitor runs and finds the fault", _CCR, MEMORY),
    "warm-up-rise": Figure(22, "degC from the start", "SAE J1979", MEMORY),
    "warm-up-reach": Figure(71, "degC", "SAE J1979", MEMORY),
    "proof-drive": Figure(20, "km after clearing, warm", "common practice, no source", TYPICAL),
    # permanent codes
    "permanent-passes": Figure(3, "monitoring cycles passed in a row", _PERMANENT, QUOTED),
    "permanent-passes-after-clear": Figure(1, "monitoring cycle passed after a clear", _PERMANENT, QUOTED),
    "trip-run-time": Figure(600, "s of engine running", _PERMANENT, QUOTED),
    "trip-fast-time": Figure(300, "s at speed", _PERMANENT, QUOTED),
    "trip-fast-speed": Figure(40, "km/h (25 mph)", _PERMANENT, QUOTED),
    "trip-idle-time": Figure(30, "s of idle without a break", _PERMANENT, QUOTED),
    # evaporative monitor: what counts for its ratio, and what is commonly needed
    "evap-ratio-since-start": Figure(600, "s since the start", _EVAP_RATIO, MEMORY),
    "evap-ratio-altitude": Figure(2438, "m (8,000 ft)", _EVAP_RATIO, MEMORY),
    "evap-ratio-coldest": Figure(4.4, "degC (40 degF)", _EVAP_RATIO, MEMORY),
    "evap-ratio-warmest": Figure(35.0, "degC (95 degF)", _EVAP_RATIO, MEMORY),
    "evap-ratio-soak": Figure(
        6.7, "degC (12 degF) of coolant above the air at the start", _EVAP_RATIO, MEMORY
    ),
    "evap-leak-federal": Figure(1.016, "mm (0.040 in) orifice", "40 CFR 86.1806-01, -05", MEMORY),
    "evap-leak-california": Figure(0.508, "mm (0.020 in) orifice", f"{_CCR}(e)(4.2.2)", QUOTED),
    # inspection
    "inspected-from": Figure(1996, "model year", "40 CFR 85.2207", READ),
    "unready-1996-2000": Figure(2, "monitors may be unready", "EPA420-R-01-015", QUOTED),
    "unready-2001": Figure(1, "monitor may be unready", "EPA420-R-01-015", QUOTED),
    # warranty
    "warranty-major-years": Figure(8, "years", _EPA_WARRANTY, READ),
    "warranty-major-miles": Figure(80_000, "miles", _EPA_WARRANTY, READ),
    "warranty-other-years": Figure(2, "years", _EPA_WARRANTY, READ),
    "warranty-other-miles": Figure(24_000, "miles", _EPA_WARRANTY, READ),
    "warranty-from": Figure(1995, "model year, light-duty below 8,500 lb gross", _WARRANTY, QUOTED),
}


def figure(name: str) -> float:
    """Return the value of a figure."""
    return FIGURES[name].value
