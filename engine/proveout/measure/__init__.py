"""Text to quantities, meter uncertainty, and a reading's conformity to its limits."""

from proveout.measure.barometer import read_barometer
from proveout.measure.judging import Derived, Judged, judge
from proveout.measure.points import read_series
from proveout.measure.reading import Quantity, Reading, read
from proveout.measure.study import Point, Study
from proveout.measure.units import Unit, UnitError, find_unit

__all__ = [
    "Derived",
    "Judged",
    "Point",
    "Quantity",
    "Reading",
    "Study",
    "Unit",
    "UnitError",
    "find_unit",
    "judge",
    "read",
    "read_barometer",
    "read_series",
]
