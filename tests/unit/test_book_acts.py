"""Checks of acts that are told and not declared: battery, crankshaft, fuses, codes, who works the pedal."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from helpers_state import complaints, layer

#: State, step, and what is complained of.
BAD = {
    "battery-undeclared": ("{key: off, engine: off}", "Battery off. Part the plug of the module."),
    "battery-undeclared ": ("{key: off, engine: off}", "Key off, negative clamp off, wait five minutes."),
    "turned-by-hand": ("{key: off, engine: off}", "Turn the engine by hand one full turn."),
    "turned-by-hand ": ("{key: off, engine: off}", "A helper turns the crankshaft slowly by its bolt."),
    "cleared-unread": ("{engine: driven}", "Clear the codes and drive two days."),
    "codes-left": ("{key: on, unplugged: [the fan], put_back: true}", "Read the meter."),
    "plug-forgotten": ("{key: off, removed: [the coil], put_back: true}", "Look at it."),
    "plug-unparted": (
        "{key: off, unplugged: [the throttle], opened: [the hose], put_back: true}",
        "Key out for five minutes. Hose off, look in.",
    ),
    "revs-alone": ("{engine: running}", "Hold 2,000 rpm for a minute and look."),
    "fuse-left": ("{key: off, engine: off}", "Key off, fuse out. Measure to ground."),
    "fuse-left ": ("{key: off, engine: off}", "Pull the pump's fuse and listen."),
    "torque-on-nothing": ("{key: off, removed: [both relays], put_back: true}", "Change them over, listen."),
    "torque-on-nothing ": ("{key: off, removed: [the plug lead], put_back: true}", "Look at it."),
}


@pytest.mark.parametrize("name", BAD)
def test_an_act_that_is_not_declared_is_complained_of(tmp_path: Path, name: str) -> None:
    state, step = BAD[name]
    assert _found(tmp_path, state, step) == [name.strip()]


GOOD = {
    "declared": ("{key: off, engine: off, battery: off}", "Battery off. Part the plug of the module."),
    "denied": ("{key: on, engine: off}", "The battery is never off for this. Read the meter."),
    "turned, and said": (
        "{key: off, engine: off, turning: [crankshaft]}",
        "Turn the engine by hand one turn.",
    ),
    "a wheel": ("{key: off, engine: off}", "A helper turns the raised wheel by hand."),
    "not to be turned": ("{key: off, engine: off}", "Do not turn the engine by hand."),
    "read first": ("{engine: driven, codes: read-first}", "Clear the codes and drive two days."),
    "a count": ("{key: on, engine: off}", "Read the warm-ups since codes cleared."),
    "cleared": ("{key: on, unplugged: [the fan], put_back: true, codes: cleared}", "Read the meter."),
    "under no power": ("{key: off, unplugged: [the fan], put_back: true}", "Read the meter."),
    "a fuse, and said": ("{key: off, pulled: [the fuse], put_back: true}", "Key off, fuse out. Measure."),
    "a lead that comes off with its coil": (
        "{key: off, removed: [the coil or lead], put_back: true}",
        "The plug stays on; look at it.",
    ),
    "a fuse that goes back": ("{key: off, engine: off}", "Fuse out, look at it, fuse back."),
    "a fuse that stays": ("{key: on, engine: off}", "Never pull the fuse under load."),
    "a plug that is spoken of": ("{key: off, removed: [the coil], put_back: true}", "Plug on, look at it."),
    "a plug that is parted": ("{key: off, unplugged: [the fan], put_back: true}", "Key off. Plug off, look."),
    "no plug": ("{key: off, removed: [the hose], put_back: true}", "Look at it."),
    "a helper": ("{engine: running, helper: at the pedal}", "Hold 2,000 rpm for a minute and look."),
}


@pytest.mark.parametrize("name", GOOD)
def test_what_is_declared_or_not_done_passes(tmp_path: Path, name: str) -> None:
    state, step = GOOD[name]
    assert _found(tmp_path, state, step) == []


def test_notes_of_a_remedy_are_read_as_well(tmp_path: Path) -> None:
    base, shop = layer(tmp_path, "{engine: off}")
    path = shop / "fan.yaml"
    path.write_text(path.read_text().replace("notes: [Mend it.]", "notes: [Negative clamp off first.]"))
    assert [problem.check for problem in complaints(base, shop)] == ["battery-undeclared"]


def test_whoever_sits_at_the_pedal_revs_alone(tmp_path: Path) -> None:
    base, shop = layer(tmp_path, "{engine: running}")
    path = shop / "fan.yaml"
    text = path.read_text().replace("access: [bay]", "access: [driver-seat]")
    path.write_text(
        text.replace("[Measure.]", '["Hold 2,000 rpm."]')
        + "access: [{id: driver-seat, title: Seat, minutes: 1}]\n"
    )
    assert [problem.check for problem in complaints(base, shop)] == []


def _found(tmp_path: Path, state: str, step: str) -> list[str]:
    """Return what ``rules check`` complains of an inspection with a state and one step."""
    base, shop = layer(tmp_path, state)
    path = shop / "fan.yaml"
    path.write_text(path.read_text().replace("steps: [Measure.]", f'steps: ["{step}"]'))
    return [problem.check for problem in complaints(base, shop)]


def test_the_clamp_of_the_shipped_book_goes_on_last_and_the_spanner_comes_off() -> None:
    """Common practice, no source: the clamp goes on last, and no tool stays on the crankshaft.

    The bus was measured with the battery off, and the clamp went on before the modules were joined.
    """
    book = shipped_book()
    for inspection in book.inspections.values():
        words = inspection.state.words() if inspection.state else frozenset()
        text = " ".join(inspection.steps).lower()
        if "battery off" in words:
            after = text.rfind("plug in ")
            assert "clamp" in text or "battery on" in text, inspection.id
            assert "last of all the battery" not in text or text.rfind("last of all") > after, inspection.id
        if "turning crankshaft" in words:
            assert "engine-may-turn" in inspection.cautions, inspection.id
            assert "spanner" in text, inspection.id


def test_no_shipped_inspection_takes_apart_after_its_drive_what_ran_in_it() -> None:
    """Coils out for a change of boots went back into their wells after the drive; so did a knock sensor."""
    for inspection in shipped_book().inspections.values():
        if inspection.state and inspection.state.engine == "driven":
            assert not inspection.steps[-1].startswith(("Fit ", "Key off; plug in")), inspection.id


def test_what_is_exchanged_and_stays_says_where_it_is_now() -> None:
    """Whoever buys for the place that was named first, after the change, leaves the bad one in."""
    swaps = [i for i in shipped_book().inspections.values() if i.state and i.state.stays]
    assert len(swaps) > 5
    assert [i.id for i in swaps if "bought for that place" not in i.steps[-1]] == []


def test_nobody_is_told_to_wait_in_traffic_for_an_engine_to_die() -> None:
    for inspection in shipped_book().inspections.values():
        for step in inspection.steps:
            assert not step.lower().startswith("drive until it dies"), inspection.id


def test_what_is_cleaned_with_a_spray_is_warned_of() -> None:
    """Safety sheets of such cleaners, from memory: extremely flammable."""
    book = shipped_book()
    told = [(i.id, " ".join(i.steps), i.cautions) for i in book.inspections.values()] + [
        (c.id, " ".join(c.remedy.notes), c.remedy.cautions) for c in book.causes.values()
    ]
    for name, text, cautions in told:
        if any(f"{kind} cleaner" in text for kind in ("parts", "brake", "contact", "throttle")):
            assert "solvent-spray" in cautions, name


def test_a_remedy_is_shown_with_the_cautions_of_the_places_that_it_opens() -> None:
    """Fifty remedies under seats and at tanks were shown without yellow plugs and orange cables."""
    book = shipped_book()
    for cause in book.causes.values():
        for place in cause.remedy.access:
            assert set(book.words.access[place].cautions) <= set(cause.remedy.cautions), cause.id


def test_lists_of_prose_are_not_cut_at_a_comma() -> None:
    """Three remedies had half a sentence for a step, since a comma parts items in a flow list."""
    book = shipped_book()
    for name, said in [
        *((i.id, (*i.steps, *i.false_readings)) for i in book.inspections.values()),
        *((c.id, (*c.remedy.notes, *c.after_repair)) for c in book.causes.values()),
    ]:
        assert [text for text in said if text[:1].islower()] == [], name
