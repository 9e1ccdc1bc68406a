"""Figures that entries of the book took over from published pages: entry, figure, source, what it says.

Each source was read in excerpt; the entry names it, too.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from helpers_shipped import shipped_book
from proveout.model.entries import Inspection

#: One psi and one inch of mercury in kPa.
PSI, INCH_OF_MERCURY = 6.894757, 3.386389


def band(one: Inspection, result: str) -> tuple[float, float]:
    """Return from where to where a reading gives a result, in the inspection's unit."""
    assert one.reading is not None
    low, high = next((band.low, band.high) for band in one.reading.bands if band.result == result)
    return (-float("inf") if low is None else low), (float("inf") if high is None else high)


def said(one: Inspection, pattern: str) -> tuple[float, ...]:
    """Return the figures that the steps state in the form of a pattern."""
    found = re.search(pattern, " ".join(one.steps))
    assert found is not None, (one.id, pattern)
    return tuple(float(figure) for figure in found.groups())


def between(figure: float, low: float, high: float) -> bool:
    """Return whether a figure lies in a range that the steps state."""
    return low <= figure <= high


def within(result: str, *figures: float) -> Callable[[Inspection], bool]:
    """Return a check that all figures of a page give one result."""
    return lambda one: all(low <= figure <= high for low, high in [band(one, result)] for figure in figures)


#: Entry, what its page says, page, how the entry stands to it.
CITED: list[tuple[str, str, str, Callable[[Inspection], bool]]] = [
    (
        "thermostat-in-hot-water",
        "fully open 12 degC above its mark",
        "US Army TM 5-3825-229-14&P",
        lambda one: between(12, *said(one, r"about (\d+) to (\d+) °C")),
    ),
    (
        "whole-system-holds",
        "a tank under at most 0.5 psi",
        "Goodheart-Willcox, Auto Engine Performance and Driveability (2015), page 387",
        lambda one: said(one, r"Set it to ([\d.]+) kPa")[0] <= 0.5 * PSI,
    ),
    (
        "smoke-test",
        "a tank under at most 0.5 psi",
        "Goodheart-Willcox, Auto Engine Performance and Driveability (2015), page 387",
        lambda one: said(one, r"at most ([\d.]+) kPa")[0] <= 0.5 * PSI,
    ),
    (
        "battery-load-test",
        "at least 9.6 V under load at 70 degF",
        "US Army TM 9-6115-730-24",
        lambda one: band(one, "holds")[0] == 9.6,
    ),
    (
        "battery-load-test",
        "half the cold-start rating for 15 s",
        "manual of a battery load tester, page 9",
        lambda one: said(one, r"half the cold-start current printed on it, (\d+) s") == (15,),
    ),
    (
        "battery-voltage-after-charge",
        "12.6 V or more is full, 12.4 V is not",
        "US Army TM 5-3805-262-20",
        lambda one: band(one, "holds")[0] == 12.6 and within("sinks", 12.4, 12.2, 12.0, 11.7)(one),
    ),
    (
        "coil-primary-resistance",
        "most coils 0.4 to 2 ohm",
        "a parts seller, How to test an ignition coil",
        within("plausible", 0.4, 2.0),
    ),
    (
        "coil-secondary-resistance",
        "6 to 8 kohm on newer coils, up to 15 kohm",
        "a parts seller, How to test an ignition coil",
        within("plausible", 6.0, 8.0, 15.0),
    ),
    (
        "charging-voltage-loaded",
        "never below 13.2 V, 13.5 to 14.5 V usual",
        "docstoc.com, Voltage Drop Charging System; a workshop's page, Checking your car's charging system",
        within("holds", 13.2, 13.5, 14.5),
    ),
    (
        "crankcase-pressure-idle",
        "a slight vacuum, usually less than 1 inHg",
        "Halderman and Linder, Automotive Fuel and Emissions Control Systems, page 337",
        within("slight-vacuum", -0.1 * INCH_OF_MERCURY, -1.0 * INCH_OF_MERCURY),
    ),
    (
        "oil-level-and-look",
        "five to ten minutes after stopping",
        "an article for owners, How to check your engine oil level and condition",
        lambda one: "ten minutes" in one.steps[0],
    ),
    (
        "cap-seat-and-click",
        "until it clicks three times",
        "speedyauto.cc, driving tips 212838",
        lambda one: any("clicks three times" in step for step in one.steps),
    ),
    (
        "crank-coil-resistance",
        "150 to 1,000 ohm typical, most pick-up coils 500 to 1,500",
        "manuals of two makers of meters",
        within("good", 150, 500, 1000, 1500),
    ),
    (
        "speed-sensor-resistance",
        "150 to 1,000 ohm typical, most pick-up coils 500 to 1,500",
        "manuals of two makers of meters",
        within("in-range", 150, 500, 1000, 1500),
    ),
    (
        "knock-sensor-resistance",
        "more than 1 Mohm",
        "data sheet of a broadband knock sensor (KS4-P)",
        within("plausible", 1000),
    ),
    (
        "knock-sensor-tap",
        "18 to 34 mV a g, 26 at 5 kHz",
        "data sheet of a broadband knock sensor (KS4-P)",
        within("answers", 18, 26, 34),
    ),
    (
        "battery-rested-voltage",
        "12.65 V full, 12.45 three quarters, 12.24 half, 12.06 a quarter, 11.89 V empty",
        "State of charge measurement (table after BCI)",
        lambda one: within("charged", 12.65, 12.45)(one) and within("low", 12.24, 12.06, 11.89)(one),
    ),
    (
        "terminal-drop",
        "a sound connection ideally less than 0.1 V",
        "Voltage drop testing: electrical checks on the starter circuit",
        lambda one: band(one, "good")[1] == 0.1,
    ),
    (
        "body-ground-drop",
        "up to 0.1 V across a ground",
        "limits of the Society of Automotive Engineers in a battery dealer's course",
        lambda one: band(one, "good")[1] == 0.1,
    ),
    (
        "module-ground-drop",
        "up to 0.1 V across a ground",
        "the Society of Automotive Engineers",
        within("good", 0.01, 0.09),
    ),
    (
        "ground-cable-drop",
        "0.2 V for a cable",
        "limits of the Society of Automotive Engineers in a battery dealer's course",
        lambda one: band(one, "good")[1] == 0.2,
    ),
    (
        "ignition-feed-voltage",
        "0.2 V for the wire and 0.3 V for the contacts",
        "the Society of Automotive Engineers",
        within("good", 0.2 + 0.3),
    ),
    (
        "main-relay-drop",
        "0.2 V for the wire and 0.3 V for the contacts",
        "the Society of Automotive Engineers",
        within("good", 0.2 + 0.3),
    ),
    (
        "starter-current",
        "normally less than 100 to 150 A, at most 150 to 250 A with four to eight cylinders",
        "general limits of a textbook",
        within("usual", 150, 185, 200, 250),
    ),
    (
        "charging-ripple",
        "50 to 100 mV at most",
        "tomorrowstechnician.com",
        within("smooth", 0.05, 0.1),
    ),
    (
        "charging-voltage-idle",
        "13.5 to 14.7 V",
        "a trainer's article",
        within("right", 13.5, 14.7),
    ),
    (
        "standing-current",
        "20 to 50 mA is normal",
        "answers on us.ok.com",
        within("quiet", 0.02, 0.05),
    ),
    (
        "throttle-five-volts",
        "5 V within a quarter",
        "data sheet, FPS series",
        within("fed", 4.75, 5.25),
    ),
    (
        "warm-up-time",
        "warm within ten minutes",
        "Engine operating temperature",
        within("in-time", 10),
    ),
    (
        "cruise-temperature",
        "usually rated 82 to 91 degC",
        "Auto Upkeep (a school textbook)",
        within("at-rating", 82, 91),
    ),
    (
        "cranking-voltage",
        "never below 9.6 V",
        "voltagebasics.com",
        lambda one: band(one, "holds")[0] == 9.6,
    ),
    (
        "maf-signal-voltage",
        "0.5 to 2 V at idle",
        "a workshop's page, Diagnostic tools",
        within("alive", 0.5, 2.0),
    ),
    (
        "spark-plug-gap",
        "0.6 to 1.3 mm",
        "answers on us.ok.com",
        within("within", 0.6, 1.3),
    ),
    (
        "compression-dry",
        "the lowest not less than 75 % of the highest",
        "Wet and dry compression",
        lambda one: band(one, "alike")[0] == 75,
    ),
    (
        "idle-speed-reading",
        "customarily 600 to 1,000 rpm",
        "Idle speed",
        within("usual", 600, 900),
    ),
    (
        "map-at-warm-idle",
        "16 to 21 inHg of vacuum",
        "manual of a hand vacuum pump with gauge",
        within("as-usual", 101.3 - 21 * INCH_OF_MERCURY, 101.3 - 17 * INCH_OF_MERCURY),
    ),
    (
        "maf-full-load-flow",
        "75 to 110 %",
        "Volumetric efficiency",
        within("plausible", 75, 90, 110),
    ),
    (
        "injector-coil-hot",
        "usually above 10 ohm",
        "Fuel injector drivers",
        within("good", 10.1, 12),
    ),
    (
        "front-heater-resistance",
        "3.2 ohm at room temperature",
        "data sheet of a wide-range sensor",
        within("good", 3.2),
    ),
    (
        "egr-diaphragm-holds",
        "10 to 12 inHg stay for a minute",
        "manual of a hand vacuum pump",
        lambda one: "Pump to -45 kPa" in " ".join(one.steps) and band(one, "holds")[1] == -35,
    ),
    (
        "intake-air-sensor-resistance",
        "3.79 kohm at 10 degC, 2.5 at 20, 1.71 at 30",
        "table of thermistor sensors in the help of a programmable engine computer",
        within("on-the-curve", 3792, 2500, 1707),
    ),
    (
        "purge-valve-plug-power",
        "0.2 V for the wire and 0.3 V for the contacts",
        "the Society of Automotive Engineers",
        within("fed", 11.5 - 0.5),
    ),
    (
        "coil-feed-drop",
        "0.2 V for the wire and 0.3 V for the contacts",
        "the Society of Automotive Engineers",
        within("little", 0.2 + 0.3),
    ),
    (
        "air-pump-feed",
        "0.2 V for the wire and 0.3 V for the contacts, each side",
        "the Society of Automotive Engineers",
        within("fed", 12.6 - 2 * 0.5),
    ),
    (
        "coil-feed-volts",
        "0.2 V for the wire and 0.3 V for the contacts",
        "the Society of Automotive Engineers",
        within("full", 12.6 - 0.5),
    ),
    (
        "module-feed-under-load",
        "0.2 V for the wire and 0.3 V for the contacts",
        "the Society of Automotive Engineers",
        within("good", 0.2, 0.5),
    ),
    (
        "coil-ground-drop",
        "0.1 V across a ground",
        "the Society of Automotive Engineers",
        within("good", 0.1),
    ),
    (
        "fan-ground-drop",
        "0.2 V for a cable and 0.1 V for its joints",
        "the Society of Automotive Engineers",
        within("good", 0.1, 0.2, 0.3),
    ),
    (
        "heater-feed-continuity",
        "leads of 0.2 to 0.5 ohm",
        "a maker of instruments",
        within("whole", 0.2, 0.5),
    ),
    (
        "crank-wire-to-ground",
        "more than 1 Mohm is no fault",
        "a maker of instruments",
        within("clear", 1000),
    ),
    (
        "coolant-sensor-plug-volts",
        "5 V within a quarter",
        "data sheet of sensors",
        within("about-five", 4.75, 5.25),
    ),
]


@pytest.mark.parametrize(
    ("entry", "figure", "source", "stands"), CITED, ids=[f"{row[0]}: {row[1]}" for row in CITED]
)
def test_the_entry_says_what_its_page_says(
    entry: str, figure: str, source: str, stands: Callable[[Inspection], bool]
) -> None:
    assert stands(shipped_book().inspections[entry]), f"{source}: {figure}"


@pytest.mark.parametrize(("entry", "source"), [(row[0], row[2]) for row in CITED])
def test_the_entry_names_the_page(entry: str, source: str) -> None:
    one = shipped_book().inspections[entry]
    named = f"{one.source} {one.reading.limits_source if one.reading else ''}"
    for page in source.split("; "):
        assert page.split(",")[0] in named


#: Figures that limits say in words.
WORDS = {"quarter": 0.25, "one": 1.0, "ten": 10.0, "hundred": 100.0}
#: Inspection that keeps to it, the limit's figure, what its page says, page, how the figure stands to it.
LIMITS: list[tuple[str, str, str, str, Callable[[float], bool]]] = [
    (
        "smoke-test",
        r"above ([\d.]+) kPa",
        "at most 0.5 psi",
        "Goodheart-Willcox, Auto Engine Performance and Driveability (2015), page 387",
        lambda figure: figure <= 0.5 * PSI,
    ),
    (
        "tank-sensor-vacuum-on-reader",
        r"Stop at (\d+) kPa",
        "a sensor for 1.25 kPa withstands 25",
        "data sheet of low-pressure sensors (HCLA series)",
        lambda figure: figure <= 25,
    ),
    (
        "purge-valve-holds-vacuum",
        r"At most (\d+) kPa",
        "an idling engine draws 16 to 21 inHg",
        "manual of a hand vacuum pump with gauge, page 4",
        lambda figure: 16 * INCH_OF_MERCURY <= figure <= 21 * INCH_OF_MERCURY,
    ),
    (
        "map-vacuum-series",
        r"At most (\d+) kPa",
        "an idling engine draws 16 to 21 inHg",
        "manual of a hand vacuum pump with gauge, page 4",
        lambda figure: figure <= 21 * INCH_OF_MERCURY,
    ),
    (
        "egr-diaphragm-holds",
        r"more than (\d+) kPa",
        "10 to 12 inHg is enough, an idling engine draws 16 to 21",
        "manuals of two hand vacuum pumps",
        lambda figure: 12 * INCH_OF_MERCURY <= figure <= 16 * INCH_OF_MERCURY,
    ),
    (
        "crankcase-smoke-test",
        r"At most (\d+) kPa",
        "0.2 bar at high speed",
        "a maker of shaft seals",
        lambda figure: figure <= 20,
    ),
    (
        "air-pump-on-battery",
        r"([\d.]+) mm2",
        "32 A for 2.1 mm2 in free air",
        "Handbook of Electronic Tables and Formulas",
        lambda figure: figure >= 2.1,
    ),
    (
        "map-unplugged-signal",
        r"the (\d+) kohm lead",
        "a resistor of a quarter watt stands 0.25 W",
        "data sheet of carbon film resistors",
        lambda figure: 12**2 / (figure * 1000) <= 0.25,
    ),
    (
        "catalyst-face-camera",
        r"(\d+) °C",
        "not above 80 degC",
        "a maker of scopes",
        lambda figure: figure <= 80,
    ),
    (
        "cruise-temperature",
        r"at (\d+) °C",
        "240 degF and above is overheating",
        "answers on us.ok.com",
        lambda figure: figure <= (240 - 32) / 1.8 + 0.5,
    ),
    (
        "battery-load-test",
        r"longer than (\d+) s",
        "15 s",
        "manual of a battery load tester, page 9",
        lambda figure: figure <= 15,
    ),
    (
        "leak-down",
        r"above (\d+) kPa",
        "usually 100 psi",
        "How do you do a cylinder leak down test",
        lambda figure: figure <= 100 * PSI * 1.02,
    ),
    (
        "vent-valve-closes-on-power",
        r"more than (\d+) s of battery",
        "on for two or three minutes at most",
        "a maker of solenoids",
        lambda figure: figure <= 120,
    ),
    (
        "vent-path-breathes",
        r"Stop at (\d+) kPa",
        "a sensor for 1.25 kPa withstands 25",
        "data sheet of low-pressure sensors (HCLA series)",
        lambda figure: figure <= 25,
    ),
    (
        "coil-trigger-light",
        r"to some (hundred) volts",
        "clamped at 350 to 500 V",
        "data sheets of two ignition coil drivers",
        lambda figure: 100 <= figure <= 500,
    ),
    (
        "injector-test-light",
        r"about a (quarter) of an ampere",
        "never a test light below 20 ohm",
        "notes of a university's course",
        lambda figure: figure <= 12 / 20,
    ),
    (
        "injector-wire-bridged",
        r"carries (\d+) V and more",
        "50 to 90 V, up to 120 V",
        "two trade magazines' articles on direct injection",
        lambda figure: figure <= 50,
    ),
    (
        "compression-dry",
        r"(ten) seconds of cranking",
        "most handbooks say 10 s, the Army 15",
        "a maker of starters, Prevent starter shorts",
        lambda figure: figure <= 10,
    ),
    (
        "tank-sensor-ground-bridged",
        r"fuse of (\d+) A",
        "breakers of 0.5 to 15 A, a low one for safety",
        "Jumper wires, a tip for technicians",
        lambda figure: 0.5 <= figure <= 15,
    ),
    (
        "vvt-power-at-idle",
        r"(One) second on",
        "on for two or three minutes at most, then off for as long",
        "a maker of solenoids",
        lambda figure: figure <= 5,
    ),
    (
        "purge-valve-current",
        r"(Ten) seconds of battery voltage",
        "on for two or three minutes at most",
        "a maker of solenoids",
        lambda figure: figure <= 120,
    ),
    (
        "throttle-motor-pulsed",
        r"A (\d+) V block",
        "9 V behind 3 ohm",
        "The Art of Electronics (2nd edition), page 9",
        lambda figure: figure / 3 <= 3,
    ),
    (
        "charge-air-smoke-test",
        r"(\d+) kPa \(1 psi\)",
        "general-purpose smoke machines work at 1.0 to 1.5 psi",
        "a trade magazine's article of July 2003",
        lambda figure: figure <= 1.5 * PSI,
    ),
]


@pytest.mark.parametrize(
    ("entry", "pattern", "figure", "source", "stands"), LIMITS, ids=[f"{row[0]}: {row[2]}" for row in LIMITS]
)
def test_what_must_not_be_exceeded_stands_to_its_page_as_it_says(
    entry: str, pattern: str, figure: str, source: str, stands: Callable[[float], bool]
) -> None:
    limits = [
        (limit, re.search(pattern, limit.text)) for limit in shipped_book().inspections[entry].safety_limits
    ]
    limit, found = next((limit, found) for limit, found in limits if found)
    assert stands(WORDS.get(found[1].lower()) or float(found[1])), figure
    assert source in limit.source
