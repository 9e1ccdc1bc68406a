"""A fan that can start by itself gets its plug before its fuse or relay (common practice, no source)."""

from __future__ import annotations

import re

from helpers_shipped import shipped_book

JOINED = re.compile(r"plug in |plug on|until it clicks", re.IGNORECASE)
FED = re.compile(r"\b(?:Fit|Push) (the|fuse)|(fuse|relay)[^.]* back", re.IGNORECASE)


def fed_before_joined(steps: tuple[str, ...]) -> bool:
    """Return whether the last word on fuse or relay stands before the last word on the plug."""
    text = "\n".join(steps)
    joined = [found.start() for found in JOINED.finditer(text)]
    fed = [found.start() for found in FED.finditer(text)]
    return bool(joined and fed) and fed[-1] < joined[-1]


def test_the_old_order_is_found() -> None:
    """The steps as they once stood are refused."""
    assert fed_before_joined(("Fit the fan fuse as before.", "Key off; plug in the fan again."))
    assert fed_before_joined(("Push the fan fuse fully home again.", "Plug in the fan again."))


def test_fan_is_joined_before_it_is_fed() -> None:
    """Every inspection that takes out what feeds a fan and parts a plug puts back the feed last."""
    turning = [
        (name, entry.steps)
        for name, entry in shipped_book().inspections.items()
        if entry.state
        and any("fan" in part for part in entry.state.all_of("turning"))
        and entry.state.all_of("pulled")
        and entry.state.all_of("unplugged")
    ]
    assert len(turning) >= 3
    assert [name for name, steps in turning if fed_before_joined(steps)] == []


def test_whatever_is_fed_gets_its_plug_before_its_fuse() -> None:
    """What is pulled feeds what is unplugged: joined under power it sparks, or starts to turn."""
    both = {
        name: entry.steps
        for name, entry in shipped_book().inspections.items()
        if entry.state and entry.state.all_of("pulled") and entry.state.all_of("unplugged")
    }
    assert len(both) >= 6
    assert [name for name, steps in both.items() if fed_before_joined(steps)] == []
