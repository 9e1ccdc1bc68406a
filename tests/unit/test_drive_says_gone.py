"""A drive on which the trouble stayed away hardly clears what comes and goes (common practice, no source)."""

from __future__ import annotations

import re

from helpers_shipped import shipped_book
from proveout.model.entries import Cause
from proveout.model.rule import Rule

#: Unplugged or missing parts come back on the first drive.
_COMES_BACK = re.compile(r"left-unplugged|left-off|-missing$")
#: A drive after charging is none of them: what charges, or carries the starter's current, is loaded on each.
_STAYED_AWAY = re.compile(r"=(stays-away|passed|near-nothing)$")


def family(cause: Cause) -> str:
    """Return the directory of a cause, or of the use that made it."""
    return (cause.place.used_at or cause.place.file).split("/")[1]


def drives() -> list[Rule]:
    """Return the rows of drives that show that nothing is wrong any more."""
    book = shipped_book()
    return [
        rule
        for name, rule in book.rules.items()
        if _STAYED_AWAY.search(name)
        and any(
            weight >= 0.85 and book.causes[cause].remedy.action == "nothing"
            for cause, weight in rule.weights.items()
        )
    ]


def test_drives_weigh_what_comes_and_goes() -> None:
    """Every cause of the family that comes and goes is weighed by the drive of its family."""
    book = shipped_book()
    found = drives()
    assert len(found) >= 12
    left = {
        (rule.id, name)
        for rule in found
        for name, cause in book.causes.items()
        if family(cause) == rule.place.file.split("/")[1]
        and cause.comes_with
        and name not in rule.weights
        and not _COMES_BACK.search(name)
    }
    assert left == set()


def test_injectors_come_and_go_as_coils_do() -> None:
    """Plug and wires of an injector may be away on a drive as those of a coil may."""
    weights = shipped_book().rules["smooth-road-drive=stays-away"].weights
    for injector, coil in (
        ("injector-plug-corroded", "coil-plug-poor"),
        ("injector-circuit-open", "coil-control-wire-open"),
    ):
        assert weights[injector] == weights[coil]
