"""Signals that scale with the sensor's supply, brought to the supply for which the limits stand."""

from __future__ import annotations

import math

from msgspec.structs import replace

from proveout.measure.instrument import Instrument, basic_meter
from proveout.measure.points import Points
from proveout.measure.reading import Reading
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.specs import ReadingSpec
from proveout.physics.ranges import OutsideRangeError
from proveout.physics.sensors import at_nominal_supply


def at_nominal(reading: Reading, supply: Reading, spec: ReadingSpec, place: Place = NOWHERE) -> Reading:
    """Return the reading as it would be at the spec's supply (physics: ``at_nominal_supply``).

    Raises:
        BadInputError: the supply is so far off that it is the fault itself.
    """
    nominal = spec.supply or supply.middle
    try:
        low = at_nominal_supply(reading.low, supply.middle, nominal)
        high = at_nominal_supply(reading.high, supply.middle, nominal)
    except OutsideRangeError as error:
        mend = "inspect the sensor's supply first"
        saw = f"supply `{supply.text}`"
        raise BadInputError(Problem(place, "not-possible", saw, str(error), mend)) from None
    return replace(reading, low=low, high=high)


def scaled_meter(meter: Instrument, reading: Reading, nominal: Reading, supply: Reading) -> Instrument:
    """Return the meter's uncertainty for the scaled reading: its own, and the supply's, both relative."""
    own = (
        meter.uncertainty(reading.middle) * nominal.middle / reading.middle if reading.middle else meter.floor
    )
    relative = basic_meter("voltage", "V", supply.middle).uncertainty(supply.middle) / supply.middle
    return replace(meter, standard=math.hypot(own, relative * nominal.middle))


def points_at_nominal(
    points: Points, supply: Reading | None, spec: ReadingSpec, place: Place = NOWHERE
) -> Points:
    """Return a series with every response scaled to the spec's supply; unchanged where there is none."""
    if supply is None or spec.supply is None:
        return points
    return replace(
        points, readings=tuple(at_nominal(reading, supply, spec, place) for reading in points.readings)
    )
