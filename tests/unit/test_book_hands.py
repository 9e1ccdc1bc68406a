"""The check that no hand is sent to an engine that runs, in any text of inspections and repairs."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_state import complaints, layer

FOUND = ["hand-at-running-engine"]
OFF = "{key: off, engine: off}"
RUNNING = "{engine: running, helper: at the key}"

#: What a proof of a repair says, and what is complained of.
PROOFS = [
    ("Move the harness at idle; it must not stumble.", FOUND),
    ("Start cold, a hand at the inlet feels the pull.", FOUND),
    ("Start cold and feel the plug.", FOUND),
    ("Clear the codes, start, and move the harness about; none comes back.", FOUND),
    ("Move the harness at idle with a dry stick, clear of the belt.", []),
    ("Run it at idle. Key out, then feel the plug.", []),
    ("See at idle that the angle follows, or feel the idle change.", []),
    ("Key on, engine off, move the plug; the reading stays.", []),
    ("Move the plug. Then start it, and let it idle.", []),
]
#: Steps of an inspection at a running engine, and what is complained of.
STEPS = [
    (["Start it; a hand on the housing feels it hum."], FOUND),
    (["Two fingers on the solenoid, a helper starts it."], FOUND),
    (["Feel along the hose at idle."], FOUND),
    (["Start it.", "Watch.", "Tap the valve lightly."], FOUND),
    (["Rock the latched plug."], FOUND),
    (["Engine idling. Pull the hose off, read, put it back."], FOUND),
    (["Engine off and key out; feel the hose."], []),
    (["Feel the hose, clear of belt and fan."], []),
    (["Tap the valve.", "A hand reaches in only where belts and fan are well away."], []),
    (["The tip of a dry stick on the housing feels it hum."], []),
    (["Rock the plug with a dry stick, never pull the wires."], []),
    (["Hold a strip of tissue a hand's breadth behind it."], []),
    (["Push the hose home.", "Start it and listen."], []),
    (["Start it.", "Switch it off, key out. Bend the hose."], []),
    (["Press the plug home, then start it.", "Listen."], []),
    (["Idle; press the pedal and hold the key."], []),
    (["Idle. Never touch or move the leads."], []),
]


@pytest.mark.parametrize(("proof", "found"), PROOFS)
def test_no_repair_is_proved_by_hand_beside_a_running_engine(
    tmp_path: Path, proof: str, found: list[str]
) -> None:
    base, path = _layer(tmp_path, OFF)
    _put(
        path,
        "after_repair: [Clear the codes; none comes back.]",
        f'after_repair: [Clear the codes; none comes back., "{proof}"]',
    )
    assert _checks(base, path) == found


@pytest.mark.parametrize(("proof", "found"), PROOFS)
def test_nor_does_a_note_of_the_repair_ask_for_that(tmp_path: Path, proof: str, found: list[str]) -> None:
    base, path = _layer(tmp_path, OFF)
    _put(path, "notes: [Mend it.]", f'notes: ["{proof}"]')
    assert _checks(base, path) == found


@pytest.mark.parametrize(("steps", "found"), STEPS)
def test_no_step_lays_a_hand_on_a_running_engine(tmp_path: Path, steps: list[str], found: list[str]) -> None:
    base, path = _layer(tmp_path, RUNNING)
    _put(path, "[Measure.]", str(steps).replace("hand's", "hand''s").replace('"', "'"))
    assert _checks(base, path) == found


@pytest.mark.parametrize("key", ["false_readings", "damage_limit", "leads"])
@pytest.mark.parametrize(("state", "found"), [(RUNNING, FOUND), (OFF, [])])
def test_what_is_told_beside_the_steps_is_read_too(
    tmp_path: Path, key: str, state: str, found: list[str]
) -> None:
    told = "Shake the harness alone, too."
    extra = f"\n    {key}: " + (f"[{told}]" if key == "false_readings" else f'"{told}"')
    base, path = _layer(tmp_path, state, extra)
    assert _checks(base, path) == found


def test_a_result_that_tells_to_do_it_is_found(tmp_path: Path) -> None:
    base, path = _layer(tmp_path, OFF)
    _put(path, "means: Fed.", "means: At idle tap the part and it stays fed.")
    assert _checks(base, path) == FOUND


def test_a_part_away_from_the_engine_may_be_moved_while_it_runs(tmp_path: Path) -> None:
    base, path = _layer(tmp_path, RUNNING)
    _put(path, "[Measure.]", "[Move the plug while you watch.]")
    assert _checks(base, path) == FOUND
    _put(
        path,
        "components: [{id: fan",
        "places: [{id: within, zone: tank, access: [bay]}]\ncomponents: [{id: fan",
    )
    assert _checks(base, path) == []


def _layer(tmp_path: Path, state: str, extra: str = "") -> tuple[Path, Path]:
    """Write the layer; return the book below it and the layer's file."""
    base, shop = layer(tmp_path, state, extra)
    return base, shop / "fan.yaml"


def _put(path: Path, old: str, new: str) -> None:
    """Put a text in the place of another that stands in a file."""
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def _checks(base: Path, path: Path) -> list[str]:
    """Return what ``rules check`` complains of."""
    return [problem.check for problem in complaints(base, path.parent)]
