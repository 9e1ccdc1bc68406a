"""A judged reading in words: as it was typed, and what an undecided one needs."""

from __future__ import annotations

import math

from proveout.measure.conform import needed_uncertainty
from proveout.measure.display import Scale, rounded
from proveout.measure.instrument import Instrument
from proveout.measure.reading import Reading
from proveout.measure.typed import ABSOLUTE, GAUGE
from proveout.model.atom import CANNOT_TELL
from proveout.model.entries import ReadingSpec


def advice(
    spec: ReadingSpec,
    reading: Reading,
    meter: Instrument,
    states: tuple[tuple[str, float], ...],
    scale: Scale,
) -> tuple[str, ...]:
    """Say what an undecided reading needs: a better meter, a repeat, or another inspection."""
    if states == ((CANNOT_TELL, 1.0),):
        return ("The value falls between the limits of the results; it tells nothing.",)
    if len(states) == 1:
        return ()
    a = meter.bound(reading.middle)
    note = (
        f"Too near a limit for {meter.name or 'the meter'} (±{scale.difference(a)} {scale.symbol}): "
        + ", ".join(f"{result} {weight:.0%}" for result, weight in states)
    )
    need = needed_bound(spec, reading)
    if reading.high > reading.low:
        return (f"{note}.", "The reading wanders; hold it steady or repeat it.")
    if need is not None and need > 0.05 * a:
        return (f"{note}.", f"A meter good to ±{scale.difference(need)} {scale.symbol} would decide it.")
    return (f"{note}.", "It lies on the limit; another inspection tells more than a better meter.")


def needed_bound(spec: ReadingSpec, reading: Reading) -> float | None:
    """Give the error bound (rectangular) that would decide a reading; None on a limit or for a range."""
    need = needed_uncertainty(spec.bands, reading.middle) * math.sqrt(3.0)
    return need if need > 0.0 and reading.low == reading.high else None


def shown(reading: Reading, scale: Scale) -> str:
    """Give a reading as typed, with its value in the unit of the scale where it was typed otherwise."""
    if math.isinf(reading.middle) and not reading.one_sided:
        return f"{reading.text} (open circuit)"
    text = reading.text
    bare = (text[-1:].isdigit() or text[-1:] in ".,") and reading.unit != "1"
    if bare and reading.typed_unit == reading.unit:
        text = f"{text} {reading.unit}"
    if reading.one_sided or (reading.typed_unit == scale.unit.symbol and not reading.moved):
        return text
    turned = (rounded(scale.turned(end)) for end in (reading.low, reading.high))
    word = {GAUGE: " gauge", ABSOLUTE: " absolute"}[reading.relative_to] if reading.moved else ""
    return f"{text} ({' to '.join(dict.fromkeys(turned))} {scale.symbol}{word})"
