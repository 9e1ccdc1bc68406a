"""The formulas by name: complete, consistent with their functions, and callable with what people type."""

from __future__ import annotations

import inspect
import math
import re

import pytest

from proveout.measure.compute import compute, find_formula
from proveout.measure.units import find_unit
from proveout.model.problem import BadInputError, Place
from proveout.physics.formula import NUMBER, Formula
from proveout.physics.registry import FORMULAS

STEINHART = {"a": "1.125257e-3", "b": "2.347204e-4", "c": "8.563053e-8"}

#: One call of every formula, as it would be typed.
CALLS = {
    "air-pressure": {"altitude": "1500 m"},
    "altitude": {"pressure": "84.556 kPa"},
    "absolute-pressure": {"gauge": "-18 inHg", "barometer": "29.92 inHg"},
    "gauge-pressure": {"absolute": "40 kPa abs"},
    "manifold-pressure": {"vacuum": "18 inHg", "altitude": "5000 ft"},
    "boiling-point": {"pressure": "200 kPa"},
    "sensor-voltage": {"pressure": "101.325 kPa", "supply": "4.8 V"},
    "sensor-pressure": {"voltage": "3.92 V", "supply": "4.8 V"},
    "misread-pressure": {"pressure": "101.325", "supply": "4.8"},
    "nominal-signal": {"voltage": "2.4", "supply": "4.8"},
    "signal-share": {"voltage": "0.5 V"},
    "thermistor-ohms": {"temperature": "176 F"},
    "thermistor-temperature": {"resistance": "1k27"},
    "thermistor-beta": {"t1": "20 C", "r1": "2.5k", "t2": "80 C", "r2": "323 ohm"},
    "steinhart-fit": {"t1": "0", "r1": "32.65k", "t2": "25", "r2": "10k", "t3": "50", "r3": "3603"},
    "steinhart-temperature": {"resistance": "5k", **STEINHART},
    "steinhart-ohms": {"temperature": "41.58 C", **STEINHART},
    "oxygen-voltage": {"temperature": "726.85 C", "oxygen": "1e-20"},
    "oxygen-share": {"temperature": "726.85 C", "voltage": "450 mV"},
    "divider-voltage": {"supply": "5 V", "pull_up": "2k2", "sensor": "OL"},
    "circuit-faults": {"supply": "5 V", "pull_up": "2k2", "sensor": "323 ohm"},
    "sensor-resistance": {"supply": "5 V", "pull_up": "2k2", "voltage": "0.64 V"},
    "added-resistance": {"supply": "5 V", "pull_up": "2k2", "sensor": "323", "voltage": "0.9 V"},
    "series-resistance": {"resistances": "100, 220 ohm"},
    "parallel-resistance": {"resistances": "120; 120"},
    "missing-parallel": {"total": "60", "present": "120"},
    "contact-resistance": {"drop": "0.8 V", "current": "8 A"},
    "wire-drop": {"current": "8 A", "length": "5 m", "gauge": "18"},
    "wire-resistance": {"gauge": "18 AWG", "temperature": "80 C"},
    "area-resistance": {"area": "0.75 mm2"},
    "wire-diameter": {"gauge": "18"},
    "orifice-flow": {"diameter": "0.020 in", "pressure": "10 inH2O"},
    "decay-time": {"volume": "40 L", "diameter": "0.508 mm", "start": "10 inH2O", "end": "5 inH2O"},
    "leak-size": {"volume": "35-45 L", "start": "-10 inH2O", "end": "-5 inH2O", "seconds": "1:14"},
    "leak-by-comparison": {"reference": "1.016 mm", "reference_seconds": "18.4", "seconds": "73.6 s"},
    "vapour-volume": {"diameter": "0.04 in", "start": "10 inH2O", "end": "5 inH2O", "seconds": "18.4"},
    "vapour-space": {"capacity": "16 gal", "fuel_level": "25 %"},
    "air-flow": {"displacement": "2.0 L", "rpm": "800", "pressure": "35 kPa", "temperature": "36.85 C"},
    "volumetric-efficiency": {
        "flow": "120 g/s", "displacement": "2.0 L", "rpm": "5500 rpm", "pressure": "98", "temperature": "25",
    },
    "total-trim": {"short": "+5 %", "long": "12"},
    "fuel-factor": {"short": "-3", "long": "+8"},
    "trim-from-leak": {"leak": "0.4 g/s", "metered": "4"},
    "leak-from-trims": {"trim_low": "13 %", "flow_low": "4", "trim_high": "5", "flow_high": "20 g/s"},
    "lambda": {"ratio": "14.7"},
    "equivalence-ratio": {"air_factor": "1.1"},
    "stoichiometric-ratio": {"hydrogen": "1.85"},
    "blend-ratio": {"ethanol": "10 %"},
    "relative-compression": {"values": "150, 145, 120, 148"},
    "leak-down": {"supply": "100 psi", "cylinder": "85 psi"},
    "compression-at": {"sea_level": "1200 kPa", "altitude": "1500 m"},
    "state-of-charge": {"voltage": "12.45 V", "u_voltage": "0.05"},
    "rest-voltage": {"charge": "75 %"},
    "load-test": {"temperature": "4 C"},
    "charging": {"voltage": "14.2 V"},
}  # fmt: skip

EVERY = [FORMULAS[name] for name in sorted(FORMULAS)]


def test_every_formula_is_called_here() -> None:
    assert CALLS.keys() == FORMULAS.keys()


@pytest.mark.parametrize("formula", EVERY, ids=lambda formula: formula.name)
def test_declared_as_the_function_takes_it(formula: Formula) -> None:
    signature = inspect.signature(formula.function)
    assert [parameter.name for parameter in formula.parameters] == list(signature.parameters)
    for parameter in formula.parameters:
        default = signature.parameters[parameter.name].default
        if default is not inspect.Parameter.empty and parameter.default is not None:
            assert parameter.default == default
        assert formula.parameter(parameter.name) is parameter
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", formula.name)
    assert formula.title
    assert formula.source


@pytest.mark.parametrize("formula", EVERY, ids=lambda formula: formula.name)
def test_every_unit_is_known(formula: Formula) -> None:
    for parameter in formula.parameters:
        if parameter.quantity != NUMBER:
            assert find_unit(parameter.unit, parameter.quantity).symbol == parameter.unit
        assert bool(parameter.relative_to) == (parameter.quantity == "pressure") or parameter.name == "vacuum"


@pytest.mark.parametrize("name", sorted(CALLS))
def test_answers(name: str) -> None:
    answers = compute(name, CALLS[name])
    assert len(answers) == len(FORMULAS[name].results)
    for answer, outcome in zip(answers, FORMULAS[name].results, strict=True):
        assert (answer.meaning, answer.unit) == (outcome.meaning, outcome.unit)
        assert isinstance(answer.value, str) or not math.isnan(answer.value)
        assert answer.uncertainty >= 0.0


def test_units_are_converted_on_the_way() -> None:
    (pressure,) = compute("absolute-pressure", {"gauge": "-18 inHg", "barometer": "84.556 kPa"})
    assert pressure.value == pytest.approx(23.60, abs=0.005)
    (drop,) = compute("wire-drop", {"current": "8", "length": "16.404 ft", "gauge": "18 AWG"})
    assert drop.value == pytest.approx(0.838, abs=0.001)


@pytest.mark.parametrize(
    ("name", "typed", "check", "word"),
    [
        ("air-presure", {}, "unknown-id", "air-pressure"),
        ("air-pressure", {}, "missing-key", "altitude"),
        ("air-pressure", {"altitude": "1500 V"}, "wrong-dimension", "length"),
        ("air-pressure", {"altitude": "50 km"}, "outside-range", "6000"),
        ("air-pressure", {"altitude": "1500", "weather": "fine"}, "unknown-key", "weather"),
        ("lambda", {"ratio": "rich"}, "unreadable-number", "ratio"),
        ("leak-down", {"supply": "100 psia", "cylinder": "85 psi"}, "barometer-needed", "gauge"),
        ("decay-time", {"volume": "40", "diameter": "1", "start": "5", "end": "10"}, "outside-range", "leak"),
    ],
)  # fmt: skip
def test_refused(name: str, typed: dict[str, str], check: str, word: str) -> None:
    with pytest.raises(BadInputError) as error:
        compute(name, typed, Place("here", 1, 2))
    (problem,) = error.value.problems
    assert (problem.check, problem.place.line) == (check, 1)
    assert word in str(problem)


def test_find_formula() -> None:
    assert find_formula("leak-size").name == "leak-size"
