"""The units that people type: spellings to units, sorted by what they measure.

The table only knows names and decimal prefixes. Factors between different units come from pint (see
``convert``), so that no conversion factor is written down here.
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Mapping
from functools import lru_cache

from msgspec import Struct

#: What a reading's quantity may be given in: dimension names of the table below.
DIMENSIONS: Mapping[str, tuple[str, ...]] = {
    "duty": ("fraction",),
    "ratio": ("fraction",),
    "speed": ("speed", "rotation"),
    "frequency": ("frequency", "rotation"),
    "flow": ("mass flow", "volume flow"),
}

#: Decimal exponents of the prefixes used here.
_PREFIXES = {"": 0, "M": 6, "k": 3, "h": 2, "d": -1, "c": -2, "m": -3, "u": -6, "n": -9}

#: dimension | symbol | pint name | prefixes | further spellings (without spaces and dots)
_TABLE = """
voltage|V|volt|muk|volt volts vdc dcv voltdc voltsdc
voltage|mV|volt:-3||millivolt millivolts mvdc
resistance|ohm|ohm|mkM|ohms r
resistance|kohm|ohm:3||k kohms kiloohm kiloohms kilohm kilohms kr
resistance|Mohm|ohm:6||M Mohms megohm megohms megaohm megaohms meg
resistance|mohm|ohm:-3||milliohm milliohms mohms
current|A|ampere|muk|amp amps ampere amperes adc
current|mA|ampere:-3||milliamp milliamps milliampere milliamperes mamp mamps
pressure|Pa|pascal|Mkh|pascal pascals
pressure|kPa|pascal:3||kilopascal kilopascals
pressure|bar|bar|m|bars
pressure|mbar|bar:-3||millibar millibars mb
pressure|psi|psi||lb/in2 lbs/in2 lbf/in2 poundspersquareinch
pressure|inHg|inHg||"hg inchhg incheshg inchesofmercury inchesmercury in-hg in/hg
pressure|inH2O|inH2O||"h2o "wc "wg inwc inwg inwater iwc inchh2o
pressure|inH2O|inH2O||inchesh2o inchesofwater incheswater in-h2o in/h2o
pressure|mmHg|mmHg||millimetresofmercury millimetersofmercury mm-hg
pressure|cmH2O|cmH2O||cmwc cmws
pressure|mmH2O|mmH2O||mmwc mmws
pressure|torr|torr||
pressure|atm|atm||atmosphere atmospheres
pressure|kgf/cm2|kgf/cm**2||kg/cm2 kp/cm2
temperature|degC|degC||c celsius centigrade degcelsius degreesc degreescelsius
temperature|degF|degF||f fahrenheit degfahrenheit degreesf degreesfahrenheit
temperature|K|kelvin||kelvin kelvins degk
time|s|second|mu|sec secs second seconds
time|ms|second:-3||msec msecs millisecond milliseconds
time|min|minute||mins minute minutes
time|h|hour||hr hrs hour hours
time|d|day||day days
time|y|year||yr yrs year years a
length|m|meter|kcmu|metre metres meter meters
length|mm|meter:-3||millimetre millimetres millimeter millimeters
length|km|meter:3||kilometre kilometres kilometer kilometers kms
length|in|inch||" inch inches ins
length|thou|milliinch||thousandth thousandths mil mils
length|ft|foot||' foot feet
length|mi|mile||mile miles
frequency|Hz|hertz|kM|hertz cps
rotation|rpm|rpm||1/min rev/min revs/min r/min revs rpms
fraction|%|percent||pct percent percents
fraction|1|dimensionless||:1 lambda phi ratio
speed|km/h|kilometer/hour||kmh kph kmph km/hr
speed|mph|mile/hour||mi/h mileshour milesperhour
speed|m/s|meter/second||mps
mass flow|g/s|gram/second|k|gs grams/s g/sec gps grams/sec
mass flow|kg/h|kilogram/hour||kg/hr
mass flow|lb/min|pound/minute||lbs/min
volume flow|L/min|liter/minute|m|lpm litre/min liter/min litres/min liters/min l/m
volume flow|cm3/min|milliliter/minute||cc/min ccm
volume flow|L/h|liter/hour||lph l/hr litre/h liter/h litres/h liters/h
volume flow|cfm|foot**3/minute||ft3/min cuft/min scfm
volume flow|gal/h|gallon/hour||gph gal/hr
volume|L|liter|m|litre litres liter liters ltr
volume|cm3|milliliter||cc ccm
volume|gal|gallon||gallon gallons usgal
area|mm2|millimeter**2||sqmm
density|kg/m3|kilogram/meter**3||
count|1|dimensionless||times pulses counts cranks flashes blinks teeth
"""


class Unit(Struct, frozen=True):
    """A unit: its symbol, what it measures, its pint name and the decimal exponent of its prefix."""

    symbol: str
    dimension: str
    base: str
    power: int = 0


class UnitError(ValueError):
    """A unit that cannot be used. ``check`` is ``unknown-unit`` or ``wrong-dimension``."""

    def __init__(self, check: str, saw: str, expected: str, mend: str = "") -> None:
        super().__init__(saw)
        self.check, self.saw, self.expected, self.mend = check, saw, expected, mend


def unit_key(text: str) -> str:
    """Bring a typed unit to the form of the table: no spaces or dots, plain ASCII for signs."""
    text = unicodedata.normalize("NFKC", text.replace("\u00ba", "°"))
    for sign, plain in _SIGNS.items():
        text = text.replace(sign, plain)
    return "".join(text.split()).replace(".", "").replace("_", "").replace("^", "")


_SIGNS = {"\u03bc": "u", "\u03a9": "ohm", "\u03c9": "ohm", "°": "deg", "\u2033": '"', "\u2032": "'"} | {
    "\u201d": '"', "\u201c": '"', "''": '"', "\u2019": "'", "\u2044": "/", "·": "", "\u00d8": "",
}  # fmt: skip


@lru_cache(maxsize=1)
def _spellings() -> dict[str, dict[str, Unit]]:
    """Return, for each dimension, every exact spelling of the table."""
    found: dict[str, dict[str, Unit]] = {}
    for line in _TABLE.strip().splitlines():
        dimension, symbol, pint_name, prefixes, more = line.split("|")
        base, _, power = pint_name.partition(":")
        names = found.setdefault(dimension, {})
        unit = Unit(symbol, dimension, base, int(power or 0))
        for name in (symbol, *more.split()):
            names[name] = unit
        for prefix in prefixes:
            names.setdefault(prefix + symbol, Unit(prefix + symbol, dimension, base, _PREFIXES[prefix]))
    return found


def _lookup(key: str, dimension: str) -> Unit | None:
    """Find a spelling in one dimension: exactly, else without regard to case where that is safe.

    ``m`` and ``M`` never stand for one another as prefixes: they differ by a thousand million.
    """
    names = _spellings().get(dimension, {})
    if key in names:
        return names[key]
    folded = {unit for name, unit in names.items() if name.casefold() == key.casefold() and _safe(key, name)}
    return folded.pop() if len(folded) == 1 else None


def _safe(key: str, name: str) -> bool:
    """Say whether a spelling may be read in another case: not where m (milli) could be M (mega)."""
    return key[:1] == name[:1] or key[:1] not in "mM" or len(name) > 4 or name in ("mph", "min", "mins")


def dimensions_of(quantity: str) -> tuple[str, ...]:
    """Return the dimensions in which a quantity of the book may be stated."""
    return DIMENSIONS.get(quantity, (quantity,))


@lru_cache(maxsize=512)
def find_unit(text: str, quantity: str) -> Unit:
    """Find the unit that a text names for a quantity of the book, such as ``kPa`` for ``pressure``.

    Raises:
        UnitError: nobody knows the unit, or it measures something else.
    """
    key = unit_key(text)
    wanted = dimensions_of(quantity)
    for dimension in wanted:
        unit = _lookup(key, dimension)
        if unit:
            return unit
    expected = f"a {quantity} in {', '.join(symbols_of(quantity))}"
    for dimension in _spellings():
        other = _lookup(key, dimension)
        if other:
            raise UnitError("wrong-dimension", f"`{text.strip()}` measures {dimension}", expected)
    raise UnitError("unknown-unit", f"unknown unit `{text.strip()}`", expected, _nearest(key, wanted))


def quantity_of(symbol: str) -> str:
    """Return the dimension of a unit by its symbol alone; empty where there is none or it is not plain."""
    for dimension, names in _spellings().items():
        if symbol in names and names[symbol].symbol == symbol:
            return dimension
    return ""


def _nearest(key: str, dimensions: tuple[str, ...]) -> str:
    """Suggest the unit whose spelling is nearest; alternating current is another reading."""
    if key.casefold() in ("vac", "acv", "mvac", "aac"):
        return "the meter stands on AC; set it to DC and read again"
    names = {
        name.casefold(): unit
        for dimension in dimensions
        for name, unit in _spellings().get(dimension, {}).items()
    }
    close = difflib.get_close_matches(key.casefold(), names, n=1, cutoff=0.6)
    return f"did you mean `{names[close[0]].symbol}`?" if close else ""


def symbols_of(quantity: str) -> tuple[str, ...]:
    """Return the symbols of the units of a quantity, in the order of the table."""
    units = (
        unit for dimension in dimensions_of(quantity) for unit in _spellings().get(dimension, {}).values()
    )
    return tuple(dict.fromkeys(unit.symbol for unit in units))


def quantities() -> tuple[str, ...]:
    """Return every quantity and dimension for which units are known."""
    return tuple(dict.fromkeys((*_spellings(), *DIMENSIONS)))
