"""A judged reading in words: as it was typed, and what an undecided one needs."""

from __future__ import annotations

import math
from typing import Protocol

from msgspec import Struct

from proveout.measure.conform import needed_uncertainty
from proveout.measure.display import Scale, rounded, scale_of, show, unit_sign
from proveout.measure.instrument import Instrument
from proveout.measure.reading import Quantity, Reading
from proveout.measure.typed import ABSOLUTE, GAUGE
from proveout.model.atom import CANNOT_TELL
from proveout.model.preference import AS_WRITTEN
from proveout.model.specs import ReadingSpec


class Remark(Protocol):
    """What a reading has to say besides its result; its figures get their units when it is put into words."""

    def texts(self, display: str = AS_WRITTEN) -> tuple[str, ...]:
        """Return it in sentences, units by preference."""


class Said(Struct, frozen=True):
    """A remark without figures that a preference could turn."""

    text: str

    def texts(self, display: str = AS_WRITTEN) -> tuple[str, ...]:  # noqa: ARG002 (as every remark)
        """Return the sentence."""
        return (self.text,)


class CountedWith(Struct, frozen=True):
    """The air pressure with which a reading was referred to its limits."""

    barometer: Quantity

    def texts(self, display: str = AS_WRITTEN) -> tuple[str, ...]:
        """Return it in a sentence, units by preference."""
        value, unit = self.barometer.value, self.barometer.unit
        air = f"{value:.4g} {unit}"
        if display != AS_WRITTEN:
            air = show(value, unit, "pressure", display, ABSOLUTE)
        return (f"Counted with an air pressure of {air}.",)


class Advice(Struct, frozen=True):
    """What an undecided reading needs: a better meter, a repeat, or another inspection.

    Attributes:
        spec: what it was judged by.
        reading: counted as the limits are.
        meter: what it was read with.
        states: the results with their weights.
    """

    spec: ReadingSpec
    reading: Reading
    meter: Instrument
    states: tuple[tuple[str, float], ...]

    def texts(self, display: str = AS_WRITTEN) -> tuple[str, ...]:
        """Return it in sentences, units by preference; none where the reading is decided."""
        if self.states == ((CANNOT_TELL, 1.0),):
            return ("The value falls between the limits of the results; it tells nothing.",)
        if len(self.states) == 1:
            return ()
        scale = scale_of(self.spec, display)
        a = self.meter.bound(self.reading.middle)
        note = (
            f"Too near a limit for {self.meter.name or 'the meter'} (±{scale.difference(a)} {scale.symbol}): "
            + ", ".join(f"{result} {weight:.0%}" for result, weight in self.states)
        )
        need = needed_bound(self.spec, self.reading)
        if self.reading.high > self.reading.low:
            return (f"{note}.", "The reading wanders; hold it steady or repeat it.")
        if need is not None and need > 0.05 * a:
            better = f"A meter good to ±{scale.difference(need)} {scale.symbol} would decide it."
            return (f"{note}.", better)
        return (f"{note}.", "It lies on the limit; another inspection tells more than a better meter.")


def needed_bound(spec: ReadingSpec, reading: Reading) -> float | None:
    """Return the error bound (rectangular) that would decide a reading; None on a limit or for a range."""
    need = needed_uncertainty(spec.bands, reading.middle) * math.sqrt(3.0)
    return need if need > 0.0 and reading.low == reading.high else None


def shown(reading: Reading, scale: Scale) -> str:
    """Return a reading as typed, with its value in the unit of the scale where it was typed otherwise."""
    if math.isinf(reading.middle) and not reading.one_sided:
        return f"{reading.text} (open circuit)"
    text = reading.text
    bare = (text[-1:].isdigit() or text[-1:] in ".,") and reading.unit != "1"
    if bare and reading.typed_unit == reading.unit:
        text = f"{text} {unit_sign(reading.unit)}"
    if reading.one_sided or (reading.typed_unit == scale.unit.symbol and not reading.moved):
        return text
    turned = (rounded(scale.turned(end)) for end in (reading.low, reading.high))
    word = {GAUGE: " gauge", ABSOLUTE: " absolute"}[reading.relative_to] if reading.moved else ""
    return f"{text} ({' to '.join(dict.fromkeys(turned))} {scale.symbol}{word})"
