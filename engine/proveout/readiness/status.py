"""Readiness: which of the vehicle's monitors have completed since the codes were last cleared.

The status word is that of service 01, PID 01 (SAE J1979, ISO 15031-5; its layout is from memory): four
bytes A B C D. A has the lamp command in bit 7 and the number of confirmed codes below; B has the continuous
monitors and in bit 3 the kind of ignition; C says which other monitors there are, D which of them have NOT
completed.
"""

from __future__ import annotations

from dataclasses import dataclass

from proveout.model.problem import NOWHERE, BadInputError, Problem

#: Continuous monitors by bit of B (bit + 4: not completed).
CONTINUOUS = ("misfire", "fuel-system", "components")

#: Other monitors by bit of C and D, spark ignition. Bit 4 was the air-conditioning refrigerant's.
SPARK = (
    "catalyst",
    "heated-catalyst",
    "evap",
    "secondary-air",
    "refrigerant",
    "oxygen-sensor",
    "oxygen-sensor-heater",
    "egr-vvt",
)

#: Those of spark ignition that nearly every vehicle has (from memory).
USUAL_SPARK = ("catalyst", "evap", "oxygen-sensor", "oxygen-sensor-heater", "egr-vvt")

#: The same for compression ignition; bits 2 and 4 are reserved. From memory of SAE J1979-DA.
COMPRESSION = (
    "hydrocarbon-catalyst",
    "nitrogen-oxide-aftertreatment",
    "",
    "boost-pressure",
    "",
    "exhaust-gas-sensor",
    "particulate-filter",
    "egr-vvt",
)


#: Names of which the words are not the name without its hyphens.
_SAID = {"egr-vvt": "exhaust gas recirculation and valve timing"}


def monitor_said(monitor: str) -> str:
    """Return what a monitor is called in a sentence."""
    return _SAID.get(monitor, monitor.replace("-", " "))


@dataclass(frozen=True, slots=True)
class Monitor:
    """One monitor that the vehicle has: its name, whether it runs all the time, whether it has completed."""

    name: str
    continuous: bool
    complete: bool


@dataclass(frozen=True, slots=True)
class Status:
    """What the status word says.

    Attributes:
        lamp_on: the lamp is commanded on.
        codes: number of confirmed codes.
        compression: compression ignition instead of spark.
        monitors: those that the vehicle has, in the order of the bits.
    """

    lamp_on: bool
    codes: int
    compression: bool
    monitors: tuple[Monitor, ...]

    @property
    def unready(self) -> tuple[str, ...]:
        """Names of the monitors that have not completed."""
        return tuple(monitor.name for monitor in self.monitors if not monitor.complete)

    @property
    def just_cleared(self) -> bool:
        """Whether the codes look as if they had been cleared lately: none left, several monitors unready."""
        return not self.lamp_on and self.codes == 0 and len(self.unready) > 2


def decode_status(word: str) -> Status:
    """Decode the four bytes of the status word.

    Args:
        word: eight hexadecimal digits, with or without spaces, such as ``83 07 65 04``.

    Raises:
        BadInputError: it is not that.
    """
    try:
        digits = "".join(word.split())
        data = bytes.fromhex(digits)
        if len(data) != 4:
            raise ValueError
    except ValueError:
        expected = "four bytes in hexadecimal, such as 83 07 65 04"
        raise BadInputError(Problem(NOWHERE, "bad-status-word", f"'{word}'", expected)) from None
    a, b, c, d = data
    compression = bool(b & 0x08)
    names = COMPRESSION if compression else SPARK
    continuous = (
        Monitor(name, True, not b >> (bit + 4) & 1) for bit, name in enumerate(CONTINUOUS) if b >> bit & 1
    )
    others = (
        Monitor(name, False, not d >> bit & 1) for bit, name in enumerate(names) if name and c >> bit & 1
    )
    return Status(bool(a & 0x80), a & 0x7F, compression, (*continuous, *others))
