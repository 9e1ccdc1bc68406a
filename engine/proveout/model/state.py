"""What an inspection or remedy needs of the vehicle and does to it, and what follows from that."""

from __future__ import annotations

from msgspec import Struct

from proveout.model.problem import NOWHERE, Place


class Powered(Struct, frozen=True, array_like=True):
    """Something that is fed by hand.

    Attributes:
        what: the part or circuit.
        volts: with which voltage.
        rated: what it is rated for; the same where nothing is said.
        fuse: amperes of the fuse in the lead, or None where there is none.
    """

    what: str
    volts: float
    rated: float
    fuse: float | None = None


class State(Struct, frozen=True, array_like=True):
    """The state of the vehicle; empty fields do not matter.

    Attributes:
        key: ``off`` or ``on``.
        engine: ``off``, ``cranking``, ``running`` or ``driven``.
        vehicle: ``on-wheels``, ``on-stands`` or ``wheels-raised``.
        beneath: whether somebody lies or reaches beneath it.
        helper: what a second person does.
        lists: ``unplugged``, ``opened``, ``removed``, ``pulled``, ``bridged``, ``pressure``, ``hot`` and
            ``turning``, each with what stands there.
        probed: what is measured at, and how: ``back-probe``, ``terminal``, ``clamp`` or ``touch``.
        powered: what is fed by hand.
        put_back: whether everything is put back at the end; None where nothing is said.
        stays: why something stays as it was left.
        codes: ``read-first`` or ``cleared``.
        vapour: ``fuel`` where fuel or its vapour can come out.
        battery: ``off`` where its negative clamp is off while the work is done.
    """

    key: str = ""
    engine: str = ""
    vehicle: str = ""
    beneath: bool = False
    helper: str = ""
    lists: tuple[tuple[str, tuple[str, ...]], ...] = ()
    probed: tuple[tuple[str, str], ...] = ()
    powered: tuple[Powered, ...] = ()
    put_back: bool | None = None
    stays: str = ""
    codes: str = ""
    vapour: str = ""
    place: Place = NOWHERE
    battery: str = ""

    def all_of(self, name: str) -> tuple[str, ...]:
        """Return what stands in one of the lists."""
        return dict(self.lists).get(name, ())

    def words(self) -> frozenset[str]:
        """Return the state in words such as ``engine running``, ``probed terminal`` and ``unplugged any``."""
        said = {"key": self.key, "engine": self.engine, "vehicle": self.vehicle, "codes": self.codes}
        said |= {"vapour": self.vapour, "battery": self.battery}
        found = {f"{name} {value}" for name, value in said.items() if value}
        for name, items in self.lists:
            found |= {f"{name} any", *(f"{name} {item}" for item in items)}
        found |= {f"probed {how}" for _, how in self.probed}
        for name, holds in (
            ("beneath", self.beneath),
            ("helper", self.helper),
            ("probed", self.probed),
            ("powered", self.powered),
            ("put_back", self.put_back),
            ("stays", self.stays),
        ):
            found |= {f"{name} any"} if holds else set()
        return frozenset(found)


class Routine(Struct, frozen=True, array_like=True):
    """What is done first and last wherever the state asks for it.

    Attributes:
        id: kebab-case id.
        follows_from: alternatives, each a set of state words that must all hold.
        opening, closing: a step before the first and one after the last; ``{unplugged}`` and the other lists
            stand for what the state names there.
        unless_said: words that say it already: where the steps hold one of them, they are not said again.
    """

    id: str
    follows_from: tuple[frozenset[str], ...]
    opening: str = ""
    closing: str = ""
    unless_said: tuple[str, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"


def follows(alternatives: tuple[frozenset[str], ...], words: frozenset[str]) -> bool:
    """Say whether one of some sets of state words holds."""
    return any(map(words.issuperset, alternatives))
