"""Checks of cautions and of what a meter is put on: beneath a vehicle, at fuel vapour, on a live wire."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from helpers_state import complaints, layer
from proveout.book.checks.sentences import undenied
from proveout.book.load import checked_from_texts

OFF = "{key: off, engine: off, unplugged: [the fan], put_back: true}"
STANDS = "  - {id: stands, follows_from: [{vehicle: on-stands}], title: Stands, text: Never a jack alone.}\n"

#: State, steps, and what is complained of.
BAD = {
    "beneath-unwarned": ("{key: off, engine: off}", "The plug is reached from beneath."),
    "beneath-unwarned ": ("{key: off, engine: off}", "On stands, exhaust cold, look at the plug."),
    "beneath-unwarned  ": ("{key: off, engine: off}", "Look up. Then go under the car with a torch."),
    "heat-at-vapour": ("{key: off, engine: off, vapour: fuel}", "Warm the plug with a hair dryer."),
    "heat-at-vapour ": (
        "{key: off, engine: off, vapour: fuel}",
        "No flame. Open the hole with a power drill.",
    ),
    "ohms-on-live": (OFF, "Meter on ohms, from the control wire to bare metal."),
    "ohms-on-live ": (OFF, "In ohms, end to end. Volts to bare metal as well."),
}
GOOD = {
    "raised as its caution tells": (
        "{key: off, engine: off, vehicle: on-stands, beneath: true}",
        "From beneath.",
    ),
    "not from beneath": ("{engine: running}", "From above and never from beneath."),
    "beneath a hose": ("{key: off, engine: off}", "Feel the hose from end to end, and beneath it."),
    "out from beneath, and that denied": ("{engine: running}", "Nobody works beneath while it runs."),
    "warmed without heat": (
        "{key: off, vapour: fuel}",
        "Warm it with a wet cloth, no hair dryer and no flame.",
    ),
    "heat where no vapour is": ("{key: off, engine: off}", "Warm it with a hair dryer."),
    "volts first": (
        OFF,
        "In volts to bare metal first. Only what shows none is measured in ohms, end to end.",
    ),
    "battery off": (
        "{key: off, engine: off, battery: off, unplugged: [the fan], put_back: true}",
        "Battery off, plug off. In ohms, the control wire end to end.",
    ),
    "a part by itself": (OFF, "In ohms across the two pins of the fan itself."),
    "a lead of known size": (OFF, "Put the 1 kohm lead across the harness half."),
}


@pytest.mark.parametrize("name", BAD)
def test_what_is_not_warned_of_or_not_looked_for_is_complained_of(tmp_path: Path, name: str) -> None:
    assert _found(tmp_path, *BAD[name]) == [name.strip()]


@pytest.mark.parametrize("name", GOOD)
def test_what_is_warned_of_denied_or_harmless_passes(tmp_path: Path, name: str) -> None:
    assert _found(tmp_path, *GOOD[name]) == []


def test_notes_of_a_remedy_are_read_too_and_a_caution_settles_them(tmp_path: Path) -> None:
    base, path = _layer(tmp_path, "{key: off, engine: off}")
    text = path.read_text().replace("notes: [Mend it.]", "notes: [It is reached from beneath.]")
    path.write_text(text)
    assert [problem.check for problem in complaints(base, path.parent)] == ["beneath-unwarned"]
    path.write_text(text.replace("remedy: {action", "remedy: {cautions: [stands], action"))
    assert complaints(base, path.parent) == ()


def test_a_reading_in_ohms_on_a_wire_wants_volts_first(tmp_path: Path) -> None:
    reading = (
        "\n    reading: {quantity: resistance, unit: ohm, possible: 0.., limits_source: from memory,"
        " limits: {fed: ..2, missing: otherwise}}"
    )
    base, path = _layer(tmp_path, OFF, reading)
    step = "Key off, plug off. Measure the control wire to bare metal."
    text = path.read_text().replace("[Measure.]", f'["{step}"]')
    path.write_text(text)
    assert [problem.check for problem in complaints(base, path.parent)] == ["ohms-on-live"]
    path.write_text(text.replace(step, "Plug off. Volts on the control wire first, key off. Then measure."))
    assert complaints(base, path.parent) == ()


def test_no_shipped_fuse_or_relay_is_fitted_to_a_torque() -> None:
    """A relay was "fitted as before, to the maker's torque where there is one"."""
    told = [step for entry in shipped_book().inspections.values() for step in entry.steps]
    assert [s for s in told if "torque" in s and ("relay" in s or "fuse" in s) and s.startswith("Fit ")] == []
    assert [step for step in told if step.endswith("fully home again.")] != []


def _layer(tmp_path: Path, state: str, extra: str = "") -> tuple[Path, Path]:
    """Write the layer, with a caution of stands; return the book below it and the layer's file."""
    base, shop = layer(tmp_path, state, extra)
    path = shop / "fan.yaml"
    path.write_text(path.read_text().replace("routines:\n", STANDS + "routines:\n", 1))
    return base, path


def _found(tmp_path: Path, state: str, step: str) -> list[str]:
    """Return what ``rules check`` complains of an inspection with a state and one step."""
    base, path = _layer(tmp_path, state)
    path.write_text(path.read_text().replace("steps: [Measure.]", f'steps: ["{step}"]'))
    return [problem.check for problem in complaints(base, path.parent)]


@pytest.mark.parametrize(
    ("state", "step", "found"),
    [
        ("{engine: running}", "Look at it cold, then start.", ["started-raised"]),
        ("{engine: running}", "Look at it cold. Down on its wheels, start.", []),
        ("{engine: running, vehicle: on-stands, helper: at the key}", "Listen from aside.", []),
        ("{engine: running, vehicle: on-wheels}", "Listen from aside.", []),
        ("{key: off, engine: off}", "Look at it.", []),
    ],
)
def test_no_engine_is_started_where_it_may_still_stand_raised(
    tmp_path: Path, state: str, step: str, found: list[str]
) -> None:
    base, path = _layer(tmp_path, state)
    text = path.read_text().replace("cautions: [hot]", "cautions: [hot, stands]")
    path.write_text(text.replace("[Measure.]", f'["{step}"]'))
    assert [problem.check for problem in complaints(base, path.parent)] == found


@pytest.mark.parametrize(
    ("proof", "found"),
    [
        ("Clear the codes; start it cold.", ["started-raised"]),
        ("Clear the codes and drive.", ["started-raised"]),
        ("Down on its wheels; clear the codes, start it.", []),
        ("Clear the codes, measure the wire again.", []),
    ],
)
def test_nor_after_a_repair_that_may_be_done_from_beneath(
    tmp_path: Path, proof: str, found: list[str]
) -> None:
    base, path = _layer(tmp_path, "{key: off, engine: off}")
    text = path.read_text().replace("remedy: {action", "remedy: {cautions: [stands], action")
    path.write_text(
        text.replace(
            "after_repair: [Clear the codes; none comes back.]", f'after_repair: ["{proof} None comes back."]'
        )
    )
    assert [problem.check for problem in complaints(base, path.parent)] == found


@pytest.mark.parametrize(
    ("state", "told"),
    [
        ("{key: off, engine: off}", True),
        ("{key: off, engine: off, vehicle: on-stands, beneath: true}", False),
        ("{engine: running, vehicle: on-stands, helper: at the key}", False),
    ],
)
def test_a_routine_follows_where_the_vehicle_may_still_stand_raised(
    tmp_path: Path, state: str, told: bool
) -> None:
    base, path = _layer(tmp_path, state)
    text = path.read_text().replace("cautions: [hot]", "cautions: [hot, stands]")
    down = "  - {id: down, follows_from: [{beneath: maybe}], closing: Down on its wheels first.}\n"
    path.write_text(text.replace("routines:\n", "routines:\n" + down, 1))
    draft, _ = checked_from_texts([path.parent], base=base)
    assert draft is not None
    assert ("Down on its wheels first." in draft.inspections["fan-feed"].steps) == told


#: A cleaner that burns; no vacuum cleaner, and nothing that is cleaner than something else.
CLEANER = re.compile(
    r"(?<!vacuum )\bcleaner\b(?! (?:than|is tried)|'s hose)|\bsprayed rag\b|\bsolvents?\b", re.I
)
DENIED = re.compile(r"\b(?:never|not|no|without|vacuum)\b", re.I)


def test_whoever_is_given_a_cleaner_is_warned_that_it_burns() -> None:
    """It was put on pins through which a lead then feeds a coil, in eight inspections without a warning."""
    book = shipped_book()
    told = [
        (one.id, one.cautions, (*one.steps, *one.false_readings, one.leads, one.damage_limit))
        for one in book.inspections.values()
    ]
    told += [
        (one.id, one.remedy.cautions, (*one.remedy.notes, *one.after_repair)) for one in book.causes.values()
    ]
    given = [
        (name, cautions)
        for name, cautions, texts in told
        if any(undenied(CLEANER, text, DENIED) for text in texts)
    ]
    assert len(given) > 30
    assert [name for name, cautions in given if "solvent-spray" not in cautions] == []
