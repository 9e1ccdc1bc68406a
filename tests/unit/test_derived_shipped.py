"""The figures that shipped inspections derive from their readings, against figures known from elsewhere."""

from __future__ import annotations

import pytest

from helpers_shipped import shipped_book
from proveout.measure.judging import judge


@pytest.mark.parametrize(
    ("inspection", "value", "conditions", "figure", "tolerance", "unit"),
    [
        # BCI handbook figures, from memory: 12.45 V rested is 75 % charged.
        ("battery-rested-voltage", "12.45 V", (), 75.0, 0.1, "%"),
        ("battery-voltage-after-charge", "12.65 V", (), 100.0, 0.1, "%"),
        # Bernoulli, discharge coefficient 0.6, 40 L: half of 10 inH2O in 73.6 s is a hole of 0.020 in.
        (
            "whole-system-holds",
            "5 inH2O",
            ("start 10 inH2O", "seconds 73.6 s", "volume 40 L"),
            0.508,
            0.001,
            "mm",
        ),
        # Ohm's law.
        ("ground-cable-drop", "0.36 V", ("current 180 A",), 0.002, 1e-9, "ohm"),
        ("fuel-pump-ground-drop", "0.4 V", ("current 8 A",), 0.05, 1e-9, "ohm"),
        # A widely published curve, from memory: 323 ohm at 80 degC.
        ("coolant-sensor-resistance-cold", "323 ohm", (), 80.0, 0.3, "degC"),
        ("intake-air-sensor-resistance", "2.50 kohm", (), 20.0, 1e-6, "degC"),
        # 18 inHg below an air of 84.556 kPa (ISO 2533 at 1500 m) leaves 23.60 kPa.
        ("manifold-vacuum-at-idle", "-18 inHg", ("barometer 84.556 kPa",), 23.60, 0.01, "kPa"),
    ],
)
def test_the_figure_and_its_unit(
    inspection: str, value: str, conditions: tuple[str, ...], figure: float, tolerance: float, unit: str
) -> None:
    spec = shipped_book().inspections[inspection].reading
    assert spec is not None
    (derived,) = judge(spec, value=value, conditions=conditions).derived
    assert derived.value == pytest.approx(figure, abs=tolerance)
    assert derived.unit == unit
    assert derived.uncertainty > 0.0


def test_at_least_a_dozen_inspections_derive_a_figure() -> None:
    found = [i for i in shipped_book().inspections.values() if i.reading and i.reading.derived]
    assert len(found) >= 12
