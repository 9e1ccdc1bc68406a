"""Where in a car things are, as far as a generic outline can tell."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from proveout.model.problem import NOWHERE, Place

#: The zones of the outline with what they are called, those of the car first, then those round the engine.
ZONES: Mapping[str, str] = {
    "nose": "at the nose: grille, bumper, radiator",
    "engine-bay": "in the engine bay",
    "dash": "at the dashboard and the footwell",
    "seats": "at the seats",
    "boot": "in the boot",
    "front-floor": "beneath the front",
    "exhaust-tunnel": "beneath the middle, along the exhaust",
    "tank": "at the fuel tank",
    "rear-floor": "beneath the rear, by the tank",
    "filler": "at the fuel filler",
    "air-filter": "at the air filter and its box",
    "air-meter": "in the air duct behind the filter",
    "throttle": "at the throttle, or the flap in its place",
    "intake-manifold": "at the intake manifold",
    "injectors": "at the injectors and their rail",
    "plugs": "at the spark or glow plugs",
    "cams": "at the valve cover and the cams",
    "block": "at the engine block and the oil pan",
    "belt-end": "at the belt end of the engine",
    "coolant": "in the coolant circuit, where it leaves the engine",
    "gearbox-end": "where engine and gearbox meet",
    "turbo": "at the turbocharger and its hoses",
    "recirculation": "at the exhaust gas recirculation",
    "exhaust-manifold": "at the exhaust manifold",
    "front-sensor": "at the front oxygen sensor",
    "catalyst": "at the catalyst",
    "rear-sensor": "behind the catalyst",
    "battery": "at the battery",
    "fuses": "at the fuse and relay box",
    "module": "at the engine control module",
    "harness": "along the wiring harness and its grounds",
}


class Whereabouts(Struct, frozen=True, array_like=True):
    """Things that are in one zone of the outline.

    Attributes:
        id: kebab-case id.
        zone: one of ``ZONES``.
        components, access: ids of what is there.
        source: how sure that is.
    """

    id: str
    zone: str
    components: tuple[str, ...] = ()
    access: tuple[str, ...] = ()
    source: str = ""
    place: Place = NOWHERE
    layer: str = "book"
